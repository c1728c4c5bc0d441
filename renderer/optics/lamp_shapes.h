// What each lamp shape provides, and the arithmetic they share. Internal to lamp*.cpp.
// Not here: the public contract (lamp.h).
#pragma once

#include <cmath>
#include <cstdint>
#include <glm/glm.hpp>
#include <limits>
#include <optional>

#include "renderer/optics/lamp.h"
#include "renderer/optics/warp_trig.h"

namespace keyfall::lamps {

/// A ray in the lamp's own frame, origin at its centre. Double: at 3 m a float's last bit is 0.2 um,
/// which on a 2 mm tube turns the normal by 1e-4.
struct LocalRay {
    glm::dvec3 origin;
    glm::dvec3 direction;  ///< unit to double precision
};

/// One row of the table of shapes in lamp.cpp.
struct Shape {
    std::optional<LampHit> (*intersect)(const LampShape&, const LocalRay&, double near, double far);
    /// Fills solidAngle_sr, k and technique.
    void (*view)(LampView&);
    std::optional<LampSample> (*sample)(const LampView&, glm::dvec2 u);
    double (*pdf)(const LampView&, glm::vec3 direction, const LampHit&);
    double (*area)(const LampShape&);
};
extern const Shape kSphere, kTube, kRing, kDisc, kPanel;

inline glm::dvec3 toLocal(const Frame& f, glm::dvec3 w) {
    return {glm::dot(w, glm::dvec3(f.x)), glm::dot(w, glm::dvec3(f.y)), glm::dot(w, glm::dvec3(f.z))};
}
inline glm::dvec3 toWorld(const Frame& f, glm::dvec3 l) {
    return l.x * glm::dvec3(f.x) + l.y * glm::dvec3(f.y) + l.z * glm::dvec3(f.z);
}

/// Draws end here: a point on the surface, `offset` from the viewer in the lamp's frame, of density
/// `perSr`. Empty when the density is no number a float can hold.
inline std::optional<LampSample> finish(const LampView& view, glm::dvec3 offset, double perSr) {
    const double distance = std::sqrt(glm::dot(offset, offset));
    const auto pdf = static_cast<float>(perSr);
    if (!(distance > 0.0) || !(pdf > 0.0F) || !(pdf < std::numeric_limits<float>::infinity())) {
        return std::nullopt;
    }
    const glm::dvec3 direction = toWorld(view.lamp->frame, offset * (1.0 / distance));
    return LampSample{glm::vec3(direction), static_cast<float>(distance), pdf};
}

/// The point of view from the lamp's centre, in the lamp's frame.
inline glm::dvec3 localPoint(const LampShape& lamp, glm::vec3 point_m) {
    return toLocal(lamp.frame, glm::dvec3(point_m) - glm::dvec3(lamp.centre_m));
}

/// The hit on a convex closed body that the ray's line is inside of from t0 to t1: the entry, or the
/// exit when the origin is inside. Writes `t`; false when neither lies in (near, far).
inline bool meetConvex(double t0, double t1, double near, double far, double& t, bool& fromInside) {
    fromInside = t0 < 0.0 && t1 > 0.0;
    t = fromInside ? t1 : t0;
    return t > near && t < far;
}

/// Density of x in [0, 1] rising linearly from a to b: p = 2 (a + (b - a) x) / (a + b).
inline double sampleLinear(double u, double a, double b) {
    const double root = a + std::sqrt(a * a + u * (b * b - a * a));
    return std::fmin(1.0, root > 0.0 ? u * (a + b) / root : u);
}

/// Concentric map to the unit disk, in double (sampleDisk in warp.h is the float face of it).
glm::dvec2 unitDisk(glm::dvec2 u);

}  // namespace keyfall::lamps
