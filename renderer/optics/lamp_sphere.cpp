// A bare bulb: a sphere, seen as a cone of directions. Not here: the other shapes.
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

// In world axes: to a sphere no frame means anything. s = r/d is the sine of the cone's half angle,
// c its cosine. 1 - c is computed as s^2/(1 + c): for a bulb at 3 m, 1 - c itself has lost half its
// digits.
void view(LampView& v) {
    const glm::dvec3 to = glm::dvec3(v.lamp->centre_m) - glm::dvec3(v.point_m);
    const double r = radius_m(*v.lamp);
    const double d = std::sqrt(glm::dot(to, to));
    if (d <= r) return;
    const double perD = 1.0 / d;
    const double s = r * perD;
    const double c = std::sqrt((d - r) * (d + r)) * perD;
    v.k[kDistance] = d;
    v.k[kOneMinusCos] = s * s / (1.0 + c);
    for (int i = 0; i < 3; ++i) v.k[kAxisX + i] = to[i] * perD;
    v.k[kPerSr] = 1.0 / (2.0 * kPi * v.k[kOneMinusCos]);
    v.solidAngle_sr = static_cast<float>(2.0 * kPi * v.k[kOneMinusCos]);
    v.technique = 1;
}

/// The unit `axis` turned by theta, phi around it (basis: Duff et al., JCGT 6(1), 2017).
glm::dvec3 around(glm::dvec3 axis, double cosTheta, double sinTheta, SinCos phi) {
    const double sign = std::copysign(1.0, axis.z);
    const double a = -1.0 / (sign + axis.z);
    const double b = axis.x * axis.y * a;
    const glm::dvec3 x{1.0 + sign * axis.x * axis.x * a, sign * b, -sign * axis.x};
    const glm::dvec3 y{b, sign + axis.y * axis.y * a, -axis.y};
    return sinTheta * phi.cos * x + sinTheta * phi.sin * y + cosTheta * axis;
}

std::optional<LampSample> sample(const LampView& v, glm::dvec2 u) {
    const double r = radius_m(*v.lamp);
    const double d = v.k[kDistance];
    const double k = u.x * v.k[kOneMinusCos];  // 1 - cos theta
    const double cosTheta = 1.0 - k;
    const double sin2Theta = k * (2.0 - k);
    const glm::dvec3 axis{v.k[kAxisX], v.k[kAxisY], v.k[kAxisZ]};
    const glm::dvec3 w = around(axis, cosTheta, std::sqrt(sin2Theta), sinCosTurns(u.y));
    const double t = d * cosTheta - std::sqrt(std::fmax(0.0, r * r - d * d * sin2Theta));
    return finishAlong(w, t, v.k[kPerSr]);
}

double pdf(const LampView& v, glm::vec3, const LampHit&) { return v.k[kPerSr]; }

double area(const LampShape& lamp) { return 4.0 * kPi * radius_m(lamp) * radius_m(lamp); }

}  // namespace

const Shape kSphere{intersect, view, sample, pdf, area};

}  // namespace keyfall::lamps
