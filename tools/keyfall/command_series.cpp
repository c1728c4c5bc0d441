// `series`: readings over the values of one key or two, as table, CSV, plot and contact sheet; in
// parts when asked, and from parts.
#include <fmt/core.h>

#include <nlohmann/json.hpp>

#include "commands.h"
#include "exit_codes.h"
#include "outputs.h"
#include "plot_canvas.h"
#include "series.h"

namespace keyfall {
namespace {

/// "2/8": the second of eight. Throws CommandLineError.
SeriesPart partOf(const std::string& text) {
    if (text.empty()) return {};
    std::size_t number = 0, of = 0;
    int used = 0;
    const bool read = std::sscanf(text.c_str(), "%4zu/%4zu%n", &number, &of, &used) == 2;
    if (!read || static_cast<std::size_t>(used) != text.size() || number < 1 || number > of)
        throw CommandLineError(
            fmt::format("--part {}: this names no part; allowed: 1/8 to 8/8 for eight parts; for "
                        "example --part 2/8",
                        text));
    return {number - 1, of};
}

void requireSense(const Options& o) {
    const SeriesOptions& s = o.series;
    const bool merge = !s.merge.empty();
    if (merge && (!s.vary.empty() || !s.read.empty() || !s.part.empty()))
        throw CommandLineError(
            "--merge takes keys, figures and rows from the parts; leave --vary, --read and --part "
            "out");
    if (!s.sheet.empty() && (merge || !s.part.empty()))
        throw CommandLineError(
            "--sheet needs the pictures of all rows, which parts do not keep; run the series "
            "whole");
    if (merge) return;
    if (o.scene.empty())
        throw CommandLineError(
            "there is no scene; needed: series SCENE --vary KEY=10..60/6, or series --merge "
            "FILE...");
    if (s.vary.empty())
        throw CommandLineError(
            "there is no --vary; needed: a key and its values; for example --vary "
            "board.fill.around.distance=10..60/6");
    if (s.vary.size() > 2)
        throw CommandLineError(fmt::format(
            "{} keys to vary are too many; allowed: one or two; hold the others by --set",
            s.vary.size()));
    if (!s.part.empty() && o.json.empty())
        throw CommandLineError(
            "--part without --json: its rows would be lost to --merge; add --json part.json");
}

std::vector<Output> outputsOf(const Options& o) {
    const SeriesOptions& s = o.series;
    for (const auto& [option, file] : {std::pair("--plot", s.plot), std::pair("--sheet", s.sheet)})
        Canvas::requireEnding(option, file);
    return {{"--json", o.json}, {"--csv", s.csv}, {"--plot", s.plot}, {"--sheet", s.sheet}};
}

SeriesKey keyOf(const VariedKey& v) {
    return {v.key, v.unit(), v.isNumber, v.inStops(), v.values};
}

/// What does not need the scene.
SeriesRun askedRun(const Options& o) {
    SeriesRun run;
    for (const std::string& text : o.series.read)
        run.figures.push_back(parseFigure(text, "--read"));
    run.part = partOf(o.series.part);
    run.pictures = !o.series.sheet.empty();
    run.needsCamera =
        run.pictures || std::any_of(run.figures.begin(), run.figures.end(), needsCamera);
    return run;
}

std::vector<VariedKey> keysOf(const Options& o) {
    std::vector<VariedKey> keys;
    for (const std::string& text : o.series.vary) keys.push_back(parseVaried(text, o));
    if (keys.size() == 2 && keys[0].key == keys[1].key)
        throw CommandLineError(fmt::format(
            "--vary {} twice; allowed: two different keys; put all values into one", keys[0].key));
    return keys;
}

Series planOf(const SeriesRun& run, const Options& o, const Scene& scene) {
    Series plan;
    plan.scene = o.scene, plan.title = scene.title, plan.quality = o.quality, plan.seed = o.seed,
    plan.part = o.series.part;
    for (const VariedKey& v : run.keys) plan.keys.push_back(keyOf(v));
    for (const Figure& f : run.figures) {
        plan.read.push_back(f.text);
        plan.units.push_back(unitOf(f));
    }
    const std::size_t most = run.pictures ? kMostTiles : kMostForms;
    if (plan.count() > most)
        throw CommandLineError(fmt::format("{} rows are too many; allowed: {}{}; take fewer values",
                                           plan.count(), most,
                                           run.pictures ? " with --sheet" : ""));
    return plan;
}

void requireFigures(SeriesRun& run, const Scene& scene) {
    if (run.figures.empty()) run.figures = usualFigures(scene);
    if (run.figures.empty())
        throw CommandLineError(
            "the scene has no probe to read; add a [[probe]], or name a figure by --read");
    for (const Figure& f : run.figures) requireFigure(f, scene);
}

void publish(const Series& series, const Options& o) {
    clearProgressLine();
    if (!o.quiet && o.json != "-") writeStandardOutput(seriesText(series));
    if (!o.series.csv.empty()) writeText(o.series.csv, seriesCsv(series));
    if (!o.series.plot.empty()) plotSeries(series, o.series.plot);
    if (!o.json.empty()) writeText(o.json, textOf(seriesJson(series)));
}

int merged(const Options& o) {
    try {
        for (const std::string& file : o.series.merge)
            for (const Output& output : outputsOf(o))
                requireApart(output, file, "a part of the series");
        publish(mergedSeries(o.series.merge), o);
        return kDone;
    } catch (const BadSeriesFile& e) {
        fmt::print(stderr, "keyfall: error: {}\n", e.what());
        return kBadOtherFile;
    }
}

/// No row could be: nothing is written.
bool nothingPossible(const Series& series) {
    return !series.rows.empty() && std::all_of(series.rows.begin(), series.rows.end(),
                                               [](const SeriesRow& r) { return !r.why.empty(); });
}

}  // namespace

int runSeries(const Options& options) {
    requireSense(options);
    requireOutputs(options.scene, outputsOf(options));
    if (!options.series.merge.empty()) return merged(options);
    SetReader reader(options);
    SeriesRun run = askedRun(options);
    const Scene asWritten = reader.read({}, run.needsCamera);
    run.keys = keysOf(options);
    requireFigures(run, asWritten);
    Series series = planOf(run, options, asWritten);
    if (std::any_of(run.figures.begin(), run.figures.end(), needsEdges)) reader.keepEdgesOf(asWritten);
    std::vector<SheetTile> tiles;
    runSeries(run, reader, options, series, tiles);
    if (series.rows.empty() && series.stopped == Stopped::interrupted) {
        clearProgressLine();
        fmt::print(stderr, "keyfall: stopped before the first row was whole; nothing is written\n");
        return kCutShort;
    }
    if (nothingPossible(series)) {
        clearProgressLine();
        fmt::print(stderr, "keyfall: error: none of the {} rows can be; the first: {}\n",
                   series.rows.size(), series.rows[0].why);
        return kBadScene;
    }
    publish(series, options);
    if (!options.series.sheet.empty())
        writeContactSheet({series.title.empty() ? series.scene : series.title,
                           {"A calculated preview for planning, not a photograph."},
                           tiles,
                           {}},
                          options.series.sheet);
    if (series.stopped == Stopped::interrupted)
        fmt::print(stderr, "keyfall: stopped after {} of {} rows; these are written\n",
                   series.rows.size(), series.count());
    return series.stopped == Stopped::interrupted || series.stopped == Stopped::noise ? kCutShort
                                                                                      : kDone;
}

}  // namespace keyfall
