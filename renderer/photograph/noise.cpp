// Electrons and their noise. Not here: how numbers are drawn (photon_draw.h).
#include "renderer/photograph/noise.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "renderer/film/parallel.h"
#include "renderer/photograph/photon_draw.h"
#include "scene/colour.h"

namespace keyfall {
namespace {

double largest(glm::dvec3 c) {
    return std::max({c.x, c.y, c.z});
}

FineSpectrum spectrumOf(const Scene& scene, const LayerInfo& layer) {
    switch (layer.kind) {
        case LayerKind::light: return scene.lights.at(layer.light).spectrum;
        case LayerKind::ambient: return lampSpectrum(scene.room.value().ambientTemperature_K);
        case LayerKind::glow: return cieDaylight(6504.0);  // as the layer's own bands (layers.cpp)
    }
    throw std::logic_error("a layer of no kind");
}

ElectronImage sameSize(const PixelImage& image) {
    ElectronImage out;
    out.width_px = image.width_px;
    out.height_px = image.height_px;
    out.pixel.resize(image.pixel.size());
    return out;
}

double exposedPixel(double mean_e, const SensorAtSpeed& sensor, PixelRandom& random) {
    // Ten standard deviations beyond: what it would be exactly does not matter, and a lamp in the
    // frame has more electrons than a whole number in a double can count.
    const double shot_e = mean_e - 10.0 * std::sqrt(mean_e) > sensor.saturation_e + 10.0 * sensor.readNoise_e
                              ? mean_e
                              : drawPoisson(std::max(mean_e, 0.0), random);
    return std::min(shot_e + sensor.readNoise_e * drawNormal(random), sensor.saturation_e);
}

}  // namespace

double pixelArea_m2(const Camera& camera) {
    const glm::dvec2 pitch_m = camera.sensor_m / glm::dvec2(camera.electronics.pixels);
    return pitch_m.x * pitch_m.y;
}

SensorAtSpeed sensorAsSet(const Camera& camera) {
    const double iso = camera.iso.exact;
    return sensorAtSpeed(camera.electronics, pixelArea_m2(camera), iso,
                         focalPlaneOfPicture_lxs(kRawClip, iso, camera.calibration_stops));
}

BandElectrons electronsPerCdsm2(const Camera& camera, const FineSpectrum& light) {
    return focalPlane_lxs(1.0, effectiveApertureOf(camera)) *
           electronsPerLxs(camera.electronics, pixelArea_m2(camera), light);
}

FineSpectrum whiteSpectrum(const Camera& camera, const std::vector<Light>& lights, glm::dvec3 automatic) {
    if (const auto* kelvin = std::get_if<double>(&camera.whiteBalance)) return lampSpectrum(*kelvin);
    if (const auto* light = std::get_if<std::size_t>(&camera.whiteBalance)) return lights.at(*light).spectrum;
    if (!(automatic.y > 0.0)) return cieDaylight(6504.0);
    return lampSpectrum(correlatedTemperature(chromaticity(automatic)).temperature_K);
}

glm::dvec3 electronsAtPicture(const Camera& camera, const FineSpectrum& white, double value) {
    return value / pictureFactor(camera) * electronsPerCdsm2(camera, white).total();
}

ElectronImage meanElectrons(const Scene& scene, const Film& film, const std::vector<LayerMix>& mix) {
    // develop() sums any three weights of a band; here they are a pixel's electrons in place of XYZ.
    std::vector<LayerMix> electrons = mix;
    for (std::size_t l = 0; l < electrons.size() && l < film.layers().size(); ++l)
        if (electrons[l].amount != 0.0)
            electrons[l].bands.xyz =
                electronsPerCdsm2(scene.camera, spectrumOf(scene, film.layers()[l])).perBand;
    return {develop(film, electrons)};
}

ElectronImage exposePixels(const ElectronImage& mean, const SensorAtSpeed& sensor, std::uint32_t seed) {
    ElectronImage out = sameSize(mean);
    parallelFor(mean.pixel.size(), [&](std::size_t p) {
        PixelRandom random(seed, p);
        for (int c = 0; c < 3; ++c) out.pixel[p][c] = exposedPixel(mean.pixel[p][c], sensor, random);
    });
    return out;
}

double fullShare(const ElectronImage& mean, const SensorAtSpeed& sensor) {
    const auto full = std::count_if(mean.pixel.begin(), mean.pixel.end(), [&](glm::dvec3 e) {
        return largest(e) >= sensor.saturation_e;
    });
    return static_cast<double>(full) / static_cast<double>(mean.pixel.size());
}

glm::dmat3 linearFromElectrons(const Camera& camera, const FineSpectrum& white) {
    const BandElectrons light = electronsPerCdsm2(camera, white);
    glm::dmat3 ofPrimary{0.0};
    for (int j = 0; j < 3; ++j) {
        glm::vec3 primary{0.0F};
        primary[j] = 1.0F;
        const Bands reflectance = reflectanceFromRgb(primary);
        for (int b = 0; b < kBands; ++b)
            ofPrimary[j] += static_cast<double>(reflectance[b]) * light.perBand[static_cast<std::size_t>(b)];
    }
    return pictureFactor(camera) * glm::inverse(ofPrimary);
}

LinearImage withNoise(const LinearImage& picture, const ElectronImage& mean, const ElectronImage& exposed,
                      const SensorAtSpeed& sensor, const glm::dmat3& fromElectrons) {
    if (picture.pixel.size() != mean.pixel.size() || exposed.pixel.size() != mean.pixel.size())
        throw std::logic_error("noise of a picture of another size");
    LinearImage out = picture;
    parallelFor(mean.pixel.size(), [&](std::size_t p) {
        const double most_e = largest(mean.pixel[p]);
        const double kept = most_e > sensor.saturation_e ? sensor.saturation_e / most_e : 1.0;
        const glm::dvec3 recorded_e = glm::min(mean.pixel[p], glm::dvec3(sensor.saturation_e));
        out.pixel[p] = kept * picture.pixel[p] + fromElectrons * (exposed.pixel[p] - recorded_e);
    });
    return out;
}

}  // namespace keyfall
