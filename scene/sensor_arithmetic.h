// From light on the sensor to electrons, and what speed (ISO) does to them: pure functions.
// Not here: noise drawn pixel by pixel, pictures (renderer/photograph/noise.h); files (library_sensor.h).
#pragma once

#include <array>
#include <glm/glm.hpp>

#include "scene/bands.h"
#include "scene/fine_spectrum.h"
#include "scene/sensor.h"

namespace keyfall {

/// Photons per m^2 from `first_nm` to `last_nm`, both samples included, that come with a luminous
/// exposure of 1 lx*s of a light. CIE D55, 400 to 700 nm: 1.08e16.
/// Throws std::invalid_argument for a spectrum without visible light.
double photonsPerM2Lxs(const FineSpectrum& light, int first_nm = FineSpectrum::kFirst_nm,
                       int last_nm = FineSpectrum::kFirst_nm + FineSpectrum::kCount - 1);

/// q of ISO 12232:2006 for the lens that the standard takes: transmittance 0.9, vignetting 0.98,
/// 10 degrees off the axis; 0.652.
double standardLens_q();
/// Luminous exposure in the focal plane, lx*s, of a surface with Q = L*t in cd*s/m^2. ISO 12232 has
/// H = q Q F^2 / (N^2 i^2), and i/F = 1 + m:   H = q Q / N_eff^2.
double focalPlane_lxs(double luminance_cdsm2, double effectiveAperture);
/// The same where the picture shows `value`. With value = pi Q S 2^calibration / (C N_eff^2)
///     H = value * q * C / (pi * S * 2^calibration);
/// at ISO 100: 18 % grey 0.093 lx*s, and 0.73 where the raw ends (1.41). A camera rated by its
/// saturation (78/S, ISO 12232) or its standard output sensitivity has a calibration of -0.10.
double focalPlaneOfPicture_lxs(double value, double iso, double calibration_stops);

/// Electrons of a red, green and blue pixel by band, per unit of luminous exposure or of luminance:
/// what BandXYZ is for the eye.
struct BandElectrons {
    std::array<glm::dvec3, kBands> perBand{};
    glm::dvec3 total() const;
};
BandElectrons operator*(double scale, BandElectrons electrons);

/// Electrons of a pixel of this area per lx*s in the focal plane, its whole area sensitive:
///     e[c][b] = QE A / (683 integral S ybar) * integral over b of S lambda/(h c) r_c
/// Throws std::invalid_argument for a dark spectrum; std::logic_error for a sensor without response.
BandElectrons electronsPerLxs(const SensorModel& sensor, double pixelArea_m2, const FineSpectrum& light);

/// A sensor at one speed. Speed is a gain between the pixel and the converter: it changes neither light
/// nor electrons, only how many of them fill the converter.
struct SensorAtSpeed {
    double converter_e = 0.0;   ///< electrons that fill the converter
    double saturation_e = 0.0;  ///< electrons at which the raw value ends: converter or well, the less
    bool wellLimits = false;    ///< it is the well
    double readNoise_e = 0.0;
};
/// `saturation_lxs`: exposure at which the converter is full at `iso` when the pixel that daylight
/// (D55, ISO 12232) fills first gets it. Below the base speed the gain stays that of the base speed.
SensorAtSpeed sensorAtSpeed(const SensorModel& sensor, double pixelArea_m2, double iso,
                            double saturation_lxs);

/// Signal to noise of one pixel, dB: 20 log10(e / sqrt(e + read^2)); shot noise is Poisson's, so its
/// variance is the mean. -infinity without light.
double snr_db(double electrons, double readNoise_e);
/// Stops from the end of the raw down to where signal equals read noise: log2(saturation / read).
/// Infinite for a read noise of 0.
double range_stops(const SensorAtSpeed& sensor);

}  // namespace keyfall
