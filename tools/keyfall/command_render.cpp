// `render`: the picture, the layers, the readings.
#include <fmt/core.h>

#include <filesystem>

#include "commands.h"
#include "detail.h"
#include "exit_codes.h"
#include "maps.h"
#include "outputs.h"
#include "picture.h"
#include "prepare.h"
#include "renderer/meter/evenness.h"
#include "report.h"
#include "report_colour.h"
#include "scene_input.h"

namespace keyfall {
namespace {

std::filesystem::path pictureFile(const Options& o) {
    if (!o.out.empty()) return o.out;
    return std::filesystem::path(o.scene).stem().concat(".png");
}

int exitCode(const Options& options, const RenderResult& result) {
    if (result.stopped == Stopped::interrupted) return kCutShort;
    if (result.stopped == Stopped::noise && options.samples == 0) return kCutShort;
    return kDone;
}

/// Readings may take a third of the time; what they leave of the whole is the picture's.
std::optional<double> timeForReadings(const Options& options, double start_s) {
    const auto left_s = timeLeft_s(options, start_s);
    return left_s ? std::optional(*left_s / 3.0) : std::nullopt;
}

/// A detail is a second picture: it gets half of what the readings leave.
std::optional<double> timeForPicture(const Options& options, double start_s) {
    const std::optional<double> left_s = timeLeft_s(options, start_s);
    return left_s && !options.detail.empty() ? std::optional(*left_s / 2.0) : left_s;
}

}  // namespace

int runRender(const Options& options) {
    const std::filesystem::path out = pictureFile(options);
    std::vector<Output> outputs = mapOutputs(options.maps);
    outputs.insert(outputs.begin(), {{"--out", out.string()}, {"--exr", options.exr}, {"--detail", options.detail}, {"--json", options.json}});
    requireOutputs(options.scene, outputs);
    SceneInput input = loadScene(options, true);
    if (!input.scene) return input.exitCode;
    Scene& scene = *input.scene;

    Report report(scene, options);
    const double start_s = steadySeconds();
    const LightTables tables = prepare(scene, options);
    const Stage stage(scene, options.threads, tables);
    Film film(scene.picture.width_px, scene.picture.height_px, layerInfos(scene));
    report.readings = takeReadings(stage, readingSettings(options, timeForReadings(options, start_s)), report.counters);
    report.edges = measureShadowEdges(stage, readingSettings(options, timeForReadings(options, start_s)), report.counters);
    readColours(report);
    const RenderResult result = render(stage, film, renderSettings(options, timeForPicture(options, start_s)));
    report.stopped = result.stopped;
    if (result.stopped == Stopped::no && readingsCutByTime(report)) report.stopped = Stopped::time;

    clearProgressLine();
    // Before the first whole pass there is no picture, and a black one may replace a good one.
    const bool pictured = result.samples > 0;
    if (pictured) {
        report.picture = result;
        report.evenness_stops = backgroundEvenness_stops(stage, film, mixAsSet(scene, scene.camera.shutter_s.exact));
        report.seen = lookAround(stage);
        report.separation = productSeparation(scene, lookThroughLens(stage, film.width(), film.height()), film,
                                              mixAsSet(scene, scene.camera.shutter_s.exact));
        photograph(stage, film, report, out, options.exr, options.maps);
        if (!options.detail.empty()) photographDetail(stage, tables, options, timeLeft_s(options, start_s), report);
    }
    publish(report, options);
    if (!pictured) fmt::print(stderr, "keyfall: stopped before the picture's first pass was whole; no picture is written\n");
    else if (!options.quiet && options.json != "-") writeStandardOutput(out.string() + "\n" + mapNames(options.maps));
    return exitCode(options, result);
}

}  // namespace keyfall
