#include "detail.h"

#include <fmt/core.h>

#include <cmath>
#include <limits>

#include "picture.h"
#include "renderer/meter/visible.h"
#include "renderer/photograph/noise.h"
#include "renderer/photograph/png.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

constexpr glm::ivec2 kGrid{60, 40};  // rays that look for what is sharp

/// Middle of the window, as a share of the picture from its top left corner: of the product what is least
/// beyond the depth of field, and of that what is nearest to the picture's middle.
glm::vec2 sharpPlace(const Stage& stage) {
    const Scene& scene = stage.scene();
    const Camera& camera = scene.camera;
    const DepthOfField sharp = depthOfField(camera.focalLength_m, camera.aperture.exact,
                                            camera.focusDistance_m, camera.circleOfConfusion_m);
    const VisiblePicture seen = lookThroughLens(stage, kGrid.x, kGrid.y);
    glm::vec2 best(0.5F);
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t p = 0; p < seen.object.size(); ++p) {
        if (!showsProduct(scene, seen, p)) continue;
        const int pixel = static_cast<int>(p);
        const glm::vec2 place = (glm::vec2(pixel % kGrid.x, pixel / kGrid.x) + 0.5F) / glm::vec2(kGrid);
        const double off = std::abs(static_cast<double>(seen.depth_m[p]) - camera.focusDistance_m) /
                           (camera.focusDistance_m - sharp.near_m);
        const double unfit = 1e3 * std::max(off, 1.0) + static_cast<double>(glm::length(place - 0.5F));
        if (unfit < least) least = unfit, best = place;
    }
    return best;
}

std::vector<PngText> detailTexts(const Report& report) {
    const DetailReport& d = *report.detail;
    std::vector<PngText> texts = settingsTexts(report);
    texts.push_back({"Detail", fmt::format("{} x {} sensor pixels 1:1, from {}, {}; with the shot and read noise of one exposure; {} samples, noise of the calculation {:.3f} stop",
                                           d.size_px.x, d.size_px.y, d.first_px.x, d.first_px.y, d.samples, d.noise_stops)});
    texts.push_back({"Sensor", sensorLines(report)});
    return texts;
}

LinearImage exposedDetail(const Film& film, const Scene& scene, const Report& report) {
    const Camera& camera = scene.camera;
    const glm::dvec3 automatic = automaticWhite(report.readings);
    FlashCut cut = flashCutOf(report.scene.camera);
    const glm::dvec2 frame_px(report.scene.camera.electronics.pixels);
    cut.first = glm::dvec2(report.detail->first_px) / frame_px;
    cut.size = glm::dvec2(report.detail->size_px) / frame_px;
    const ExposedFilm clean = exposeFilm(scene, film, cameraWhite(camera, scene.lights, automatic), cut);
    const SensorAtSpeed sensor = sensorAsSet(camera);
    return withNoise(clean.image, clean.electrons, exposePixels(clean.electrons, sensor, report.seed), sensor,
                     linearFromElectrons(camera, whiteSpectrum(camera, scene.lights, automatic)));
}

}  // namespace

glm::ivec2 sharpWindow_px(const Stage& stage, glm::ivec2 size_px) {
    const glm::ivec2 pixels = stage.scene().camera.electronics.pixels;
    const glm::ivec2 middle(sharpPlace(stage) * glm::vec2(pixels));
    return glm::clamp(middle - size_px / 2, glm::ivec2(0), pixels - size_px);
}

// Sensor coordinates, + = right and up, of the window's middle against the sensor's:
//     x = (first + size/2 - all/2) * pitch,   y = -(first + size/2 - all/2) * pitch.
Camera windowOf(const Camera& camera, glm::ivec2 first_px, glm::ivec2 size_px) {
    const glm::dvec2 all_px(camera.electronics.pixels);
    const glm::dvec2 pitch_m = camera.sensor_m / all_px;
    const glm::dvec2 off_px = glm::dvec2(first_px) + 0.5 * glm::dvec2(size_px) - 0.5 * all_px;
    Camera window = camera;
    window.sensor_m = glm::dvec2(size_px) * pitch_m;
    window.shift_m += glm::dvec2(off_px.x, -off_px.y) * pitch_m;
    window.electronics.pixels = size_px;
    return window;
}

void photographDetail(const Stage& stage, const LightTables& tables, const Options& options,
                      std::optional<double> time_s, Report& report) {
    DetailReport& detail = report.detail.emplace();
    detail.size_px = glm::min(kDetail_px, stage.scene().camera.electronics.pixels);
    detail.first_px = sharpWindow_px(stage, detail.size_px);
    Scene scene = stage.scene();  // a Stage keeps the scene it was built from, so the window has its own
    scene.camera = windowOf(scene.camera, detail.first_px, detail.size_px);
    scene.picture.width_px = detail.size_px.x;
    scene.picture.height_px = detail.size_px.y;
    const Stage window(scene, options.threads, tables);
    Film film(detail.size_px.x, detail.size_px.y, layerInfos(scene));
    RenderSettings settings = renderSettings(options, time_s);
    // What is sharp and small may be the noisiest part of the picture: no aim of its own, which could take
    // an hour, but the picture's samples. How noisy that is, the report says.
    settings.samples = report.picture->samples;
    if (settings.run.tell) settings.run.tell = progressLine("detail");
    const RenderResult result = render(window, film, settings);
    clearProgressLine();
    detail.samples = result.samples;
    detail.noise_stops = result.noise_stops;
    if (result.samples == 0) return;
    writePng(options.detail, renderView(exposedDetail(film, scene, report), scene.picture.view),
             detailTexts(report));
}

}  // namespace keyfall
