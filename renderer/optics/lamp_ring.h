// The exact torus as a solid. Internal to lamp*.cpp. Not here: drawing directions (lamp_ring.cpp).
#pragma once

#include "renderer/optics/lamp_shapes.h"

namespace keyfall::lamps {

/// Torus around z: `major` to the tube's centre line, `minor` the tube's radius.
struct Torus {
    double major;
    double minor;
};
inline Torus torusOf(const LampShape& lamp) {
    return {0.5 * static_cast<double>(lamp.a_m), 0.5 * static_cast<double>(lamp.b_m)};
}

/// Where a ray first enters the torus in (near, far); from an origin inside, where it first leaves.
struct TorusHit {
    double t;
    bool fromInside;
};
std::optional<TorusHit> meetTorus(const Torus& torus, const LocalRay& ray, double near, double far);

bool isInside(const Torus& torus, glm::dvec3 p);

}  // namespace keyfall::lamps
