// What disc and panel share. Internal to lamp*.cpp. Not here: their outlines and draws.
#pragma once

#include "renderer/optics/lamp_shapes.h"

namespace keyfall::lamps {

/// Where a ray meets the lamp's plane z = 0.
struct PlaneHit {
    double t;
    double x;
    double y;
};
std::optional<PlaneHit> meetPlane(const LocalRay& ray, double near, double far);
/// The hit at `t` on whichever face looks back along the ray.
LampHit hitFace(const LampShape& lamp, const LocalRay& ray, double t);
/// A draw at `offset` from the viewer, of density `perArea` on the plane.
std::optional<LampSample> sampleFlat(const LampView& view, glm::dvec3 offset, double perArea);

/// Area density to solid angle, dw = cos dA / d^2, at a hit.
inline double flatPerSr(glm::vec3 direction, const LampHit& hit, double perArea) {
    const double cosLight = -glm::dot(glm::dvec3(direction), glm::dvec3(hit.normal));
    const double d = static_cast<double>(hit.distance_m);
    return cosLight > 0.0 ? perArea * d * d / cosLight : 0.0;
}

}  // namespace keyfall::lamps
