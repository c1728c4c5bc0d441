// A bare bulb: a sphere, seen as a cone of directions. Not here: the other shapes.
#include <algorithm>
#include <iterator>

#include "renderer/optics/lamp_shapes.h"

namespace keyfall::lamps {

namespace {

double radius_m(const LampShape& lamp) { return 0.5 * static_cast<double>(lamp.a_m); }

// The foot of the perpendicular from the centre, b along the ray, keeps c = r^2 - |foot|^2 free of
// the cancellation that b^2 - (|o|^2 - r^2) has for a small sphere far away.
std::optional<LampHit> intersect(const LampShape& lamp, const LocalRay& ray, double near,
                                 double far) {
    const double r = radius_m(lamp);
    const double b = -glm::dot(ray.origin, ray.direction);
    const glm::dvec3 foot = ray.origin + b * ray.direction;
    const double c = r * r - glm::dot(foot, foot);
    if (c <= 0.0) return std::nullopt;
    const double half = std::sqrt(c);
    double t = 0.0;
    bool fromInside = false;
    if (!meetConvex(b - half, b + half, near, far, t, fromInside)) return std::nullopt;
    const glm::dvec3 n = (foot + (t - b) * ray.direction) / r;
    return LampHit{static_cast<float>(t), glm::vec3(toWorld(lamp.frame, n)), !fromInside};
}

enum K { kDistance, kOneMinusCos, kAxisX, kAxisY, kAxisZ, kPerSr };

// In world axes: to a sphere no frame means anything. s = r/d is the sine of the cone's half angle, c
// its cosine, and 1 - c is computed as s^2/(1 + c), which loses no digits (1 - c itself has lost half
// of a float's for a bulb at 3 m).
void view(LampView& v) {
    const glm::dvec3 to = glm::dvec3(v.lamp->centre_m) - glm::dvec3(v.point_m);
    const double r = radius_m(*v.lamp);
    const double d = std::sqrt(glm::dot(to, to));
    if (d <= r) return;
    const double perD = 1.0 / d;
    const double s = r * perD;
    const double c = std::sqrt((d - r) * (d + r)) * perD;
    const double oneMinusCos = s * s / (1.0 + c);
    const double solidAngle_sr = 2.0 * kPi * oneMinusCos;
    const double k[] = {d, oneMinusCos, to.x * perD, to.y * perD, to.z * perD, 1.0 / solidAngle_sr};
    std::copy(std::begin(k), std::end(k), v.k);
    v.solidAngle_sr = static_cast<float>(solidAngle_sr);
    v.technique = 1;
}

// The direction in floats, as it ends; the way there is a difference of near equals close to the
// sphere, so in doubles.
std::optional<LampSample> sample(const LampView& v, glm::dvec2 u) {
    const double r = radius_m(*v.lamp);
    const double d = v.k[kDistance];
    const double k = u.x * v.k[kOneMinusCos];  // 1 - cos theta
    const double sin2Theta = k * (2.0 - k);
    const double t = d * (1.0 - k) - std::sqrt(std::fmax(0.0, r * r - d * d * sin2Theta));
    if (!(t > 0.0)) return std::nullopt;
    const glm::vec2 phi = std::sqrt(static_cast<float>(sin2Theta)) * cosSinTurns(static_cast<float>(u.y));
    const Frame cone = frameAround({static_cast<float>(v.k[kAxisX]), static_cast<float>(v.k[kAxisY]),
                                    static_cast<float>(v.k[kAxisZ])});
    return LampSample{cone.toWorld({phi.x, phi.y, static_cast<float>(1.0 - k)}), static_cast<float>(t),
                      static_cast<float>(v.k[kPerSr])};
}

double pdf(const LampView& v, glm::vec3, const LampHit&) { return v.k[kPerSr]; }

double area(const LampShape& lamp) { return 4.0 * kPi * radius_m(lamp) * radius_m(lamp); }

}  // namespace

const Shape kSphere{intersect, view, sample, pdf, area};

}  // namespace keyfall::lamps
