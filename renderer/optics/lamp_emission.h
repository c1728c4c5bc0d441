// Light as it starts: a point of a lamp's luminous surface and a direction, for tracing from the lamp.
// Not here: drawing a lamp as seen from a point (lamp.h), where the ray goes (renderer/transport).
#pragma once

#include <glm/glm.hpp>

#include "scene/lamp_shape.h"

namespace keyfall {

/// One ray of emitted light. Every ray carries the same flux in every band.
struct EmittedRay {
    glm::vec3 origin_m{0.0F};     ///< on the body, world
    glm::vec3 normal{0, 0, 1};    ///< unit, of the face that emits
    glm::vec3 direction{0, 0, 1}; ///< unit
    /// false: it meets the lamp's own body again. A lamp's flux is what leaves it, so such a draw stands
    /// for no light and another one takes its place.
    bool leaves = true;
};

/// Draws a point evenly over the emitting area and a direction by Lambert's law about its normal, from
/// `position` and `direction` in [0, 1)^2. Rays that leave have density
///     cos / (pi * emittingArea_m2 * leavingShare) per square metre and steradian.
EmittedRay sampleEmission(const LampShape& lamp, glm::vec2 position, glm::vec2 direction);

}  // namespace keyfall
