// Sums over spectra for a sensor. Not here: what light there is (Film), the picture's values (photo.h).
#include "scene/sensor_arithmetic.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

#include "scene/band_parts.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

constexpr double kPlanck_Js = 6.62607015e-34;  // SI, exact since 2019, as the speed of light
constexpr double kLight_mps = 299792458.0;
constexpr double kEfficacy_lmPerW = 683.0;     // SI 683 at 540 THz; at 555 nm the same to 2e-5

double photonsPerJoule(double nm) {
    return nm * 1e-9 / (kPlanck_Js * kLight_mps);
}

/// Luminous exposure of the relative spectrum taken as J/(m^2 nm): 683 * integral of S * ybar.
double luminous_lxs(const FineSpectrum& light) {
    double sum = 0.0;
    for (std::size_t i = 0; i < FineSpectrum::kCount; ++i) sum += light.value[i] * observerY().value[i];
    if (!(sum > 0.0)) throw std::invalid_argument("a spectrum without visible light");
    return kEfficacy_lmPerW * sum;
}

/// CIE daylight at 5503 K, the illuminant for which ISO 12232 states speeds in daylight.
const FineSpectrum& daylightD55() {
    static const FineSpectrum light = cieDaylight(5503.0);
    return light;
}

}  // namespace

double photonsPerM2Lxs(const FineSpectrum& light, int first_nm, int last_nm) {
    double photons = 0.0;
    for (int nm = first_nm; nm <= last_nm; ++nm) photons += light.at_nm(nm) * photonsPerJoule(nm);
    return photons / luminous_lxs(light);
}

double standardLens_q() {
    return focalPlaneFactor_q(0.9, 0.98, std::numbers::pi / 18.0);
}

double focalPlane_lxs(double luminance_cdsm2, double effectiveAperture) {
    return standardLens_q() * luminance_cdsm2 / (effectiveAperture * effectiveAperture);
}

double focalPlaneOfPicture_lxs(double value, double iso, double calibration_stops) {
    const double perLuminance = pictureValue(1.0, iso, 1.0) * std::exp2(calibration_stops);
    return value * focalPlane_lxs(1.0, 1.0) / perLuminance;
}

glm::dvec3 BandElectrons::total() const {
    glm::dvec3 sum{0.0};
    for (const glm::dvec3& band : perBand) sum += band;
    return sum;
}

BandElectrons operator*(double scale, BandElectrons electrons) {
    for (glm::dvec3& band : electrons.perBand) band *= scale;
    return electrons;
}

BandElectrons electronsPerLxs(const SensorModel& sensor, double pixelArea_m2, const FineSpectrum& light) {
    if (!sensor.response) throw std::logic_error("a sensor without spectral response");
    const SensorResponse& response = *sensor.response;
    const double scale = sensor.quantumEfficiency * pixelArea_m2 / luminous_lxs(light);
    BandElectrons electrons;
    forEachBandPart([&](std::size_t i, int b, double part) {
        const double nm = FineSpectrum::kFirst_nm + static_cast<double>(i);
        const double photons = light.value[i] * part * photonsPerJoule(nm);
        electrons.perBand[static_cast<std::size_t>(b)] +=
            scale * photons *
            glm::dvec3(response[0].value[i], response[1].value[i], response[2].value[i]);
    });
    return electrons;
}

SensorAtSpeed sensorAtSpeed(const SensorModel& sensor, double pixelArea_m2, double iso,
                            double saturation_lxs) {
    // H ~ 1/S, so the exposure that fills the converter at the base speed is H * S / S_base.
    const double full_lxs = saturation_lxs * std::min(1.0, iso / sensor.baseIso);
    const glm::dvec3 electrons = electronsPerLxs(sensor, pixelArea_m2, daylightD55()).total() * full_lxs;
    SensorAtSpeed at;
    at.converter_e = std::max({electrons.x, electrons.y, electrons.z});
    at.wellLimits = sensor.fullWell_e < at.converter_e;
    at.saturation_e = std::min(sensor.fullWell_e, at.converter_e);
    at.readNoise_e = sensor.readNoise_e;
    return at;
}

double snr_db(double electrons, double readNoise_e) {
    if (!(electrons > 0.0)) return -std::numeric_limits<double>::infinity();
    return 20.0 * std::log10(electrons / std::sqrt(electrons + readNoise_e * readNoise_e));
}

double range_stops(const SensorAtSpeed& sensor) {
    return std::log2(sensor.saturation_e / sensor.readNoise_e);
}

}  // namespace keyfall
