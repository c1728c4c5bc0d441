// Points on lamp bodies, evenly over their area, one function a shape. Not here: the rays' further way.
#include "renderer/optics/lamp_emission.h"

#include "renderer/optics/lamp_ring.h"
#include "renderer/optics/warp.h"

namespace keyfall {
namespace {

using namespace lamps;

/// A point of the surface in the lamp's own frame.
struct Spot {
    glm::dvec3 point;
    glm::dvec3 normal;
};

double half(float size_m) { return 0.5 * static_cast<double>(size_m); }

/// A number that chose between two parts of [0, 1), stretched again over its own part.
double stretched(double u, double from, double to) {
    return std::fmin((u - from) / (to - from), 1.0 - 0x1p-24);
}

// Side 2 pi r l, each end pi r^2: of the whole the side is l / (l + r).
Spot onTube(const LampShape& lamp, glm::dvec2 u) {
    const double length = 2.0 * half(lamp.a_m), r = half(lamp.b_m);
    const double side = length / (length + r);
    if (u.x < side) {
        const SinCos phi = sinCosTurns(u.y);
        const glm::dvec3 n{0.0, phi.cos, phi.sin};
        return {glm::dvec3((u.x / side - 0.5) * length, 0.0, 0.0) + r * n, n};
    }
    const double ends = stretched(u.x, side, 1.0);
    const bool far = ends >= 0.5;
    const glm::dvec2 p = r * unitDisk({stretched(ends, far ? 0.5 : 0.0, far ? 1.0 : 0.5), u.y});
    const double x = far ? 1.0 : -1.0;
    return {{0.5 * length * x, p.x, p.y}, {x, 0.0, 0.0}};
}

/// The turn t (of 1) around the tube with density 1 + e cos(2 pi t), e < 1: t + e sin(2 pi t) / 2 pi = u.
/// That is Kepler's equation half a turn on; Newton's method from the apsis never steps past the root
/// there, so twenty steps are more than it takes.
double sectionTurn(double u, double e) {
    double t = u < 0.5 ? 0.0 : 1.0;
    for (int i = 0; i < 20; ++i) {
        const SinCos s = sinCosTurns(t);
        const double step = (t + e * s.sin / (2.0 * kPi) - u) / (1.0 + e * s.cos);
        t -= step;
        if (std::fabs(step) < 1e-11) break;
    }
    return t;
}

// Area r (R + r cos d) dphi dd, d counted from the outside of the ring.
Spot onRing(const LampShape& lamp, glm::dvec2 u) {
    const Torus torus = torusOf(lamp);
    const SinCos phi = sinCosTurns(u.x);
    const SinCos d = sinCosTurns(sectionTurn(u.y, torus.minor / torus.major));
    const double rho = torus.major + torus.minor * d.cos;
    return {{rho * phi.cos, rho * phi.sin, torus.minor * d.sin}, {d.cos * phi.cos, d.cos * phi.sin, d.sin}};
}

/// A flat lamp that shines from both faces spends one half of the first number on the choice.
Spot onFlat(const LampShape& lamp, glm::dvec2 u) {
    double side = 1.0;
    if (lamp.bothSides) {
        side = u.x < 0.5 ? 1.0 : -1.0;
        u.x = stretched(u.x, u.x < 0.5 ? 0.0 : 0.5, u.x < 0.5 ? 0.5 : 1.0);
    }
    const glm::dvec2 p = lamp.kind == LampKind::disc
                             ? half(lamp.a_m) * unitDisk(u)
                             : glm::dvec2(half(lamp.a_m), half(lamp.b_m)) * (2.0 * u - 1.0);
    return {{p.x, p.y, 0.0}, {0.0, 0.0, side}};
}

Spot spotOn(const LampShape& lamp, glm::dvec2 u) {
    switch (lamp.kind) {
        case LampKind::tube: return onTube(lamp, u);
        case LampKind::ring: return onRing(lamp, u);
        case LampKind::sphere:  // fromSphere
        case LampKind::disc:
        case LampKind::panel: break;
    }
    return onFlat(lamp, u);
}

/// Only the inner half of a ring can see the ring. A start that close to the surface counts as leaving it.
bool meetsItself(const LampShape& lamp, const Spot& spot, glm::dvec3 direction) {
    if (lamp.kind != LampKind::ring) return false;
    if (glm::dot(glm::dvec2(spot.point), glm::dvec2(spot.normal)) >= 0.0) return false;
    const Torus torus = torusOf(lamp);
    return meetTorus(torus, {spot.point, direction}, 1e-5 * torus.minor, 1e9).has_value();
}

/// A sphere is bright alike from every side: an even direction, and a normal by Lambert's law about it, are
/// the same pair of densities as the other way round, and the direction, on which more depends, keeps the
/// evenness of its numbers.
EmittedRay fromSphere(const LampShape& lamp, glm::vec2 position, glm::vec2 direction) {
    EmittedRay ray;
    ray.direction = lamp.frame.toWorld(sampleUniformSphere(direction));
    ray.normal = frameAround(ray.direction).toWorld(sampleCosineHemisphere(position));
    ray.origin_m = lamp.centre_m + 0.5F * lamp.a_m * ray.normal;
    return ray;
}

}  // namespace

EmittedRay sampleEmission(const LampShape& lamp, glm::vec2 position, glm::vec2 direction) {
    if (lamp.kind == LampKind::sphere) return fromSphere(lamp, position, direction);
    const Spot spot = spotOn(lamp, glm::dvec2(position));
    EmittedRay ray;
    ray.origin_m = glm::vec3(glm::dvec3(lamp.centre_m) + toWorld(lamp.frame, spot.point));
    ray.normal = glm::normalize(lamp.frame.toWorld(glm::vec3(spot.normal)));
    ray.direction = frameAround(ray.normal).toWorld(sampleCosineHemisphere(direction));
    glm::dvec3 local = toLocal(lamp.frame, glm::dvec3(ray.direction));
    local /= std::sqrt(glm::dot(local, local));
    ray.leaves = !meetsItself(lamp, spot, local);
    return ray;
}

}  // namespace keyfall
