// What turns light on a sensor into numbers: plain data. Not here: noise and pictures
// (renderer/photograph), the photographic speed (photo.h).
#pragma once

#include <array>
#include <glm/glm.hpp>
#include <memory>
#include <string>

#include "scene/fine_spectrum.h"

namespace keyfall {

/// Relative spectral response of the red, green and blue pixels, filters included: electrons per photon
/// over the largest of the three curves.
using SensorResponse = std::array<FineSpectrum, 3>;

/// A sensor as its data sheet has it. Defaults: the library's generic one of 36 x 24 mm
/// (assets/library/sensors.toml), sources there.
struct SensorModel {
    glm::ivec2 pixels{6000, 4000};   ///< along the sensor's first and second size
    double fullWell_e = 60000.0;     ///< electrons that a pixel holds
    double readNoise_e = 3.0;        ///< standard deviation, referred to the pixel, at every speed
    double quantumEfficiency = 0.5;  ///< peak: electrons per photon, filter included
    double baseIso = 100.0;
    std::shared_ptr<const SensorResponse> response;
    std::string source;              ///< of what the scene file does not give
};

}  // namespace keyfall
