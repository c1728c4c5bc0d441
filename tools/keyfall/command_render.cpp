// `render`: the picture, the layers, the readings.
#include <fmt/core.h>

#include <filesystem>

#include "commands.h"
#include "exit_codes.h"
#include "picture.h"
#include "report.h"
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

}  // namespace

int runRender(const Options& options) {
    const SceneInput input = loadScene(options, true);
    if (!input.scene) return input.exitCode;
    const Scene& scene = *input.scene;
    const std::filesystem::path out = pictureFile(options);
    for (const std::string& file : {out.string(), options.exr, options.json}) requireWritable(file);

    Report report(scene, options);
    const Stage stage(scene, options.threads);
    Film film(scene.picture.width_px, scene.picture.height_px, layerInfos(scene));
    report.readings = takeReadings(stage, readingSettings(options), report.counters);
    const RenderResult result = render(stage, film, renderSettings(options));
    report.picture = result;
    report.stopped = result.stopped;

    clearProgressLine();
    photograph(film, report, out, options.exr);
    publish(report, options);
    if (!options.quiet) fmt::print("{}\n", out.string());
    return exitCode(options, result);
}

}  // namespace keyfall
