// Exposure and white balance. Not here: the photographic formulas themselves (scene/photo.h).
#include "renderer/photograph/exposure.h"

#include <cmath>

#include "renderer/film/parallel.h"
#include "scene/colour.h"
#include "scene/photo.h"

namespace keyfall {

double effectiveApertureOf(const Camera& camera) {
    const double m = camera.closeUpCompensated
                         ? 0.0
                         : magnification(camera.focalLength_m, camera.focusDistance_m);
    return effectiveAperture(camera.aperture.exact, m, camera.pupilRatio);
}

double closeUp_stops(const Camera& camera) {
    const double m = magnification(camera.focalLength_m, camera.focusDistance_m);
    return -2.0 * std::log2(effectiveAperture(1.0, m, camera.pupilRatio));
}

double pictureFactor(const Camera& camera) {
    return pictureValue(1.0, camera.iso.exact, effectiveApertureOf(camera)) *
           std::exp2(camera.calibration_stops);
}

glm::dvec3 whiteOfTemperature(double temperature_K) {
    return whiteOfLight(bandXYZ(lampSpectrum(temperature_K)));
}

glm::dvec3 whiteOfLight(const BandXYZ& light) {
    return light.total();
}

glm::dvec3 cameraWhite(const Camera& camera, const std::vector<Light>& lights,
                       glm::dvec3 automatic) {
    if (const auto* kelvin = std::get_if<double>(&camera.whiteBalance))
        return whiteOfTemperature(*kelvin);
    if (const auto* light = std::get_if<std::size_t>(&camera.whiteBalance))
        return whiteOfLight(lights.at(*light).bands);
    return automatic.y > 0.0 ? automatic / automatic.y : automatic;
}

glm::dmat3 balancedSrgbFromXyz(glm::dvec3 white) {
    if (!(white.y > 0.0)) return linearSrgbFromXyz();
    return linearSrgbFromXyz() * bradford(white / white.y, whiteD65());
}

LinearImage expose(const XyzImage& image, double factor, glm::dvec3 white) {
    const glm::dmat3 toSrgb = factor * balancedSrgbFromXyz(white);
    LinearImage out;
    out.width_px = image.width_px;
    out.height_px = image.height_px;
    out.pixel.resize(image.pixel.size());
    parallelFor(image.pixel.size(), [&](std::size_t p) { out.pixel[p] = toSrgb * image.pixel[p]; });
    return out;
}

}  // namespace keyfall
