#include "prepare.h"

#include <fmt/core.h>

#include <algorithm>

#include "bake_key.h"
#include "interrupt.h"
#include "progress.h"
#include "renderer/meter/strength.h"
#include "renderer/transport/bake.h"

namespace keyfall {
namespace {

bool stopped() { return interruptFlag().load(); }

}  // namespace

TableMaker::TableMaker(const Options& options)
    : options_(options), cache_(options.noCache ? std::filesystem::path() : cacheDirectory()) {}

std::shared_ptr<const NearFieldTable> TableMaker::tableOf(const LampShape& shape, const Material& lampBody,
                                                          const ModifierBody& body, const std::string& light) {
    BakeSettings settings = bakeSizeFor(body);
    // One light for one lamp: --seed gives a picture other noise, and a table is kept for all of them.
    settings.run = {};
    settings.run.threads = options_.threads;
    settings.run.stop = &interruptFlag();
    const ContentKey key = bakeKey(shape, lampBody, body, settings);
    if (const auto made = made_.find(key); made != made_.end()) return made->second;

    std::optional<NearFieldTable> table = cache_.load(key);
    if (!table) {
        const std::string doing = fmt::format("modifier of {}: tracing light through {}", light, body.name);
        if (!options_.quiet) settings.run.tell = progressLine(doing);
        if (settings.run.tell) settings.run.tell({0.0, 0.0});
        table = bake(shape, lampBody, body, settings);
        clearProgressLine();
        if (stopped()) return nullptr;  // of fewer photons: no use
        cache_.store(key, *table);
    }
    return made_[key] = std::make_shared<const NearFieldTable>(std::move(*table));
}

void TableMaker::solve(Light& light, const Material& lampBody) {
    if (!light.rating || stopped()) return;
    const Rating& rating = *light.rating;
    std::shared_ptr<const NearFieldTable> table;
    if (rating.body) table = tableOf(rating.shape, lampBody, *rating.body, light.name);
    RunSettings run;
    run.threads = options_.threads;
    run.stop = &interruptFlag();
    const auto transfer = ratedTransfer(rating, lampBody, table, run);
    if (stopped()) return;
    if (!transfer)
        throw SceneError(fmt::format("light {}: none of the lamp's light arrives where its rating was taken; "
                                     "check rated_with and the distance of the reading", light.name));
    light.fullFlux = rating.value / transfer->mean() * rating.gelFactor;
}

LightTables prepare(Scene& scene, const Options& options) {
    TableMaker maker(options);
    return prepare(scene, maker);
}

LightTables prepare(Scene& scene, TableMaker& maker) {
    LightTables tables;
    for (Light& light : scene.lights) {
        const Material& lampBody = scene.materials.at(light.bodyMaterial);
        tables.push_back(light.body && !stopped() ? maker.tableOf(light.shape, lampBody, *light.body, light.name) : nullptr);
        maker.solve(light, lampBody);
    }
    return tables;
}

}  // namespace keyfall
