#include "picture.h"

#include <fmt/core.h>

#include "maps.h"
#include "renderer/meter/ambient.h"
#include "renderer/photograph/develop.h"
#include "renderer/photograph/exposure.h"
#include "renderer/photograph/exr.h"
#include "renderer/photograph/noise.h"
#include "renderer/photograph/view.h"

namespace keyfall {

std::vector<PngText> settingsTexts(const Report& report) {
    const Scene& scene = report.scene;
    const Camera& c = scene.camera;
    std::string settings = fmt::format(
        "f/{:g}, {}, ISO {:g}, {:g} mm, focus {:.1f} cm; view {}; seed {}, {} samples, noise {:.3f} stop",
        c.aperture.asWritten, shutterText(c.shutter_s.asWritten), c.iso.asWritten, c.focalLength_m * 1e3,
        c.focusDistance_m * 1e2, scene.picture.view == View::straight ? "straight" : "soft", report.seed,
        report.picture->samples, report.picture->noise_stops);
    std::string lights;
    for (const Light& l : scene.lights)
        lights += fmt::format("{}{}: {} {}", lights.empty() ? "" : "; ", l.name,
                              l.kind == LightKind::flash ? "flash" : "continuous",
                              l.on ? "power " + l.powerText : std::string("off"));
    return {{"Title", scene.title},
            {"Software", std::string("keyfall ") + KEYFALL_VERSION},
            {"Description", "A calculated preview for planning, not a photograph"},
            {"Settings", settings},
            {"Lights", lights}};
}

ExposedFilm exposeFilm(const Scene& scene, const Film& film, glm::dvec3 white, const FlashCut& cut) {
    const double factor = pictureFactor(scene.camera);
    const double shutter_s = scene.camera.shutter_s.exact;
    const std::vector<LayerMix> mix = mixAsSet(scene, shutter_s);
    ExposedFilm out{expose(develop(film, mix), factor, white), meanElectrons(scene, film, mix), {}};
    out.clipped = clippedPixels(film, mix, out.image);
    if (!(cut.share > 0.0) || !anyFlashOn(scene)) return out;
    const std::vector<LayerMix> steady = mixAsSet(scene, shutter_s, Which::continuous);
    const LinearImage dark = expose(develop(film, steady), factor, white);
    coverFlash(out.image, dark, cut);
    coverFlash(out.electrons, meanElectrons(scene, film, steady), cut);
    coverFlash(out.clipped, clippedPixels(film, steady, dark), {film.width(), film.height()}, cut);
    return out;
}

void photograph(const Stage& stage, const Film& film, Report& report, const std::filesystem::path& png,
                const std::string& exr, const std::string& maps) {
    const Scene& scene = report.scene;
    const std::vector<LayerMix> mix = mixAsSet(scene, scene.camera.shutter_s.exact);
    const glm::dvec3 white = cameraWhite(scene.camera, scene.lights, automaticWhite(report.readings));
    const ExposedFilm exposed = exposeFilm(scene, film, white, flashCutOf(scene.camera));
    report.clipping = clippingShares(film, exposed.clipped);
    report.fullPixels = fullShare(exposed.electrons, sensorAsSet(scene.camera));
    writePng(png, renderView(exposed.image, scene.picture.view), settingsTexts(report));
    writeMaps({stage, report, film, mix, exposed.image, exposed.clipped}, maps);
    if (exr.empty()) return;
    ExrSettings settings;
    settings.pictureFactor = pictureFactor(scene.camera);
    settings.shutter_s = scene.camera.shutter_s.exact;
    settings.aperture = scene.camera.aperture.exact;
    settings.iso = scene.camera.iso.exact;
    settings.focus_m = scene.camera.focusDistance_m;
    settings.white = white;
    settings.title = scene.title;
    report.exrClamped = writeExr(exr, film, mix, settings).clamped;
}

}  // namespace keyfall
