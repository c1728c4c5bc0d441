#include "set_reader.h"

#include <fmt/core.h>
#include <malloc.h>

#include <algorithm>

#include "chosen_lights.h"

namespace keyfall {

namespace {

/// Large blocks come from the system and go back there. Left to itself, the C library takes them from its
/// heap once some were freed, where those of the ray kernel leave holes: 3 MB for every set, of 200 sets 570
/// MB.
void giveBackLargeBlocks() {
    mallopt(M_MMAP_THRESHOLD, 128 * 1024);
}

}  // namespace

SetReader::SetReader(const Options& options) : options_(options), library_(readLibrary()), maker_(options) {
    giveBackLargeBlocks();
}

SceneInput SetReader::readInput(const SetChange& change, bool needsCamera) const {
    ReadOptions read;
    read.set = options_.set;
    read.set.insert(read.set.end(), change.set.begin(), change.set.end());
    read.variant = change.variant;
    read.needsCamera = needsCamera;
    read.library = &library_;
    ReadResult result = readScene(options_.scene, read);
    const int code = result.exitCode();
    if (code != 0) result.scene.reset();
    // The set as written was read before: what is wrong now, the variant makes wrong.
    for (Diagnostic& d : result.diagnostics)
        if (!change.variant.empty() && d.severity == Diagnostic::Severity::error)
            d.text = fmt::format("variant \"{}\": {}", change.variant, d.text);
    SceneInput input{std::move(result.scene), code, std::move(result.diagnostics)};
    chooseLights(options_.lights, input);
    return input;
}

Scene SetReader::read(const SetChange& change, bool needsCamera) {
    SceneInput input = readInput(change, needsCamera);
    for (const Diagnostic& d : input.diagnostics) {
        if (d.severity == Diagnostic::Severity::warning && options_.quiet) continue;
        const std::string line = format(d);
        if (told_.insert(line).second) fmt::print(stderr, "{}\n", line);
    }
    if (!input.scene) throw UnreadableSet(input.exitCode);
    return std::move(*input.scene);
}

std::optional<Scene> SetReader::readQuietly(const SetChange& change, std::string& why, bool needsCamera) {
    SceneInput input = readInput(change, needsCamera);
    for (const Diagnostic& d : input.diagnostics)
        if (!input.scene && why.empty() && d.severity == Diagnostic::Severity::error) why = format(d);
    return std::move(input.scene);
}

std::unique_ptr<MeteredSet> SetReader::meter(Scene scene, std::optional<double> time_s) {
    auto set = std::make_unique<MeteredSet>(std::move(scene), options_);
    set->edgeLines = edgeLines_;
    set->tables = prepare(set->scene, maker_);
    set->stage.emplace(set->scene, options_.threads, set->tables);
    ReadingSettings settings = readingSettings(options_, time_s);
    settings.agreed = points_;
    set->report.readings = takeReadings(*set->stage, settings, set->report.counters);
    return set;
}

void SetReader::agreeOnPoints(Scene scene) {
    const LightTables tables = prepare(scene, maker_);
    const Stage stage(scene, options_.threads, tables);
    PathCounters counters;
    for (const auto& [probe, points] : pointsOfReadings(stage, readingSettings(options_, {}), counters)) {
        std::uint32_t& agreed = points_[probe];
        agreed = std::max(agreed, points);
    }
}

void SetReader::keepEdgesOf(const Scene& scene) {
    const Stage stage(scene, options_.threads);
    edgeLines_ = foundLines(stage);
}

}  // namespace keyfall
