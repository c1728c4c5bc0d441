// Illuminance from a lamp without anything between, by the project's draws and by a hemisphere of
// blind rays. For the lamp tests. Not here: the checks.
#pragma once

#include <glm/glm.hpp>

#include "renderer/optics/lamp.h"

namespace keyfall::test {

struct Estimate {
    double mean = 0.0;
    double standardError = 0.0;
    double relativeVariance = 0.0;  ///< of one draw: variance / mean^2
};

/// Illuminance of a lamp of 1 cd/m^2 on a receiver, lx, by sampleLamp(). Independent draws.
Estimate illuminance_lx(const LampShape& lamp, glm::vec3 point_m, glm::vec3 normal, int draws);
/// The same with one Owen-scrambled Sobol net of 2^log2Draws points: no error estimate, far smaller
/// error.
double illuminanceByNet_lx(const LampShape& lamp, glm::vec3 point_m, glm::vec3 normal,
                           int log2Draws);
/// The same by cosine-distributed rays that know nothing of the lamp.
Estimate illuminanceBlind_lx(const LampShape& lamp, glm::vec3 point_m, glm::vec3 normal, int draws);

}  // namespace keyfall::test
