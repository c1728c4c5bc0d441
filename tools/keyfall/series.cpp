#include "series.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "picture.h"
#include "renderer/transport/layers.h"

namespace keyfall {
namespace {

/// Of a small picture: light and shadow are to be seen, no detail; larger ones take minutes.
constexpr int kWidest_px = 400;

int samplesFor(const Options& options) {
    return options.quality == "draft" ? 16 : options.quality == "final" ? 128 : 32;
}

/// The set as a small picture; empty when stopped.
Srgb8Image smallPicture(const MeteredSet& set, const Options& options, int width_px) {
    const Scene& scene = set.scene;
    const int height_px = std::max(1, scene.picture.height_px * width_px / scene.picture.width_px);
    Film film(width_px, height_px, layerInfos(scene));
    RenderSettings settings;
    settings.run = measureSettings(options);
    settings.samples = samplesFor(options);
    if (render(*set.stage, film, settings).samples == 0) return {};
    const glm::dvec3 white =
        cameraWhite(scene.camera, scene.lights, automaticWhite(set.report.readings));
    return renderView(exposeFilm(scene, film, white, flashCutOf(scene.camera)).image,
                      scene.picture.view);
}

/// " cm" behind a number; powers, times and words say by themselves what they are.
std::string unitBeside(const SeriesKey& key) {
    return key.asText || !key.isNumber || key.unit.empty() ? "" : " " + key.unit;
}

SheetTile tileOf(const Series& series, const SeriesRow& row, Srgb8Image picture) {
    SheetTile tile;
    tile.picture = std::move(picture);
    for (std::size_t k = 0; k < series.keys.size(); ++k)
        tile.lines.push_back(fmt::format("{} = {}{}", series.keys[k].key,
                                         series.value(row.index, k).text,
                                         unitBeside(series.keys[k])));
    if (!row.why.empty()) tile.lines.push_back("not possible: " + row.why);
    for (std::size_t f = 0; f < row.readings.size() && row.why.empty(); ++f)
        tile.lines.push_back(
            fmt::format("{}: {}", series.read[f],
                        row.readings[f] ? shownMeasured(*row.readings[f]) + " " + series.units[f]
                                        : "no reading"));
    return tile;
}

SetChange changeOf(const SeriesRun& run, const Series& plan, std::size_t index) {
    SetChange change;
    for (std::size_t k = 0; k < run.keys.size(); ++k)
        change.set.push_back(run.keys[k].setOption(plan.value(index, k)));
    return change;
}

bool interrupted() {
    return interruptFlag().load();
}

/// One row; the set is gone when it returns. Empty when stopped within.
std::optional<SeriesRow> rowOf(const SeriesRun& run, SetReader& reader, const Options& options,
                               const Series& plan, std::size_t index, SheetTile* tile,
                               bool& unsure) {
    SeriesRow row;
    row.index = index;
    row.readings.resize(run.figures.size());
    row.missing.resize(run.figures.size());
    auto scene = reader.readQuietly(changeOf(run, plan, index), row.why, run.needsCamera);
    Srgb8Image picture;
    if (scene) try {
            const auto set = reader.meter(std::move(*scene), {});
            takeLooks(run.figures, *set, options);
            if (tile != nullptr)
                picture = smallPicture(*set, options,
                                       std::min(kWidest_px, sheetPictureWidth_px(plan.count())));
            if (interrupted()) return {};
            for (std::size_t f = 0; f < run.figures.size(); ++f)
                if (!(row.readings[f] = valueOf(run.figures[f], *set)))
                    row.missing[f] = whyMissing(run.figures[f], *set);
            row.note = movedText(run.figures, set->report);
            unsure = unsure || readingsShortOfTarget(set->report);
        } catch (const SceneError& e) {
            row.why = e.what();
        }
    if (interrupted()) return {};
    if (tile != nullptr) *tile = tileOf(plan, row, std::move(picture));
    return row;
}

}  // namespace

std::string SeriesRow::remark(const std::vector<std::string>& read) const {
    std::string text = why;
    for (std::size_t f = 0; f < missing.size() && why.empty(); ++f)
        if (!missing[f].empty())
            text += fmt::format("{}no {}: {}", text.empty() ? "" : "; ", read[f], missing[f]);
    if (!note.empty()) text += (text.empty() ? "" : "; ") + note;
    return text;
}

std::size_t Series::count() const {
    std::size_t n = 1;
    for (const SeriesKey& k : keys) n *= k.values.size();
    return n;
}

const VariedValue& Series::value(std::size_t index, std::size_t key) const {
    for (std::size_t k = 0; k < key; ++k) index /= keys[k].values.size();
    return keys[key].values[index % keys[key].values.size()];
}

std::string shownMeasured(const Measured& m) {
    const double half = m.interval95.half();
    const int digits =
        half > 0.0 ? std::clamp(static_cast<int>(std::ceil(-std::log10(half))), 0, 2) : 2;
    std::string value = fmt::format("{:.{}f}", m.value, digits);
    if (value.find_first_not_of("-0.") == std::string::npos && value[0] == '-')
        value.erase(0, 1);  // -0.00
    return fmt::format("{} ± {:.{}f}", value, half, digits);
}

void runSeries(const SeriesRun& run, SetReader& reader, const Options& options, Series& plan,
               std::vector<SheetTile>& tiles) {
    const double start_s = steadySeconds();
    bool unsure = false;
    for (std::size_t index = run.part.number; index < plan.count(); index += run.part.of) {
        const auto left_s = timeLeft_s(options, start_s);
        if (left_s && *left_s <= 0.0 && !plan.rows.empty()) plan.stopped = Stopped::time;
        if (plan.stopped != Stopped::no) return;
        SheetTile tile;
        const auto row =
            rowOf(run, reader, options, plan, index, run.pictures ? &tile : nullptr, unsure);
        if (!row)
            plan.stopped = Stopped::interrupted;
        else
            plan.rows.push_back(*row);
        if (row && run.pictures) tiles.push_back(std::move(tile));
    }
    if (plan.stopped == Stopped::no && unsure && options.readingNoise_stops)
        plan.stopped = Stopped::noise;
}

}  // namespace keyfall
