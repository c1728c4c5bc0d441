// The luminous body of a lamp as plain geometry. Not here: sampling it (renderer/optics/lamp.h).
#pragma once

#include <glm/glm.hpp>

#include "scene/frame.h"

namespace keyfall {

enum class LampKind { sphere, tube, ring, disc, panel };

/// A Lambertian emitter of uniform luminance. Sizes in metres:
///   sphere  a = diameter                     tube  a = length along frame.x, b = diameter; closed
///   ring    a = diameter of the tube's centre line, b = tube diameter; its axis is frame.z
///   disc    a = diameter, faces frame.z      panel a = width along x, b = height along y, faces z
/// The whole surface emits (tube: the two flat ends too); disc and panel emit from the front, and
/// from the back when `bothSides`.
struct LampShape {
    LampKind kind = LampKind::sphere;
    glm::vec3 centre_m{0.0F};
    Frame frame;
    float a_m = 0.03F;
    float b_m = 0.0F;
    bool bothSides = false;
};

}  // namespace keyfall
