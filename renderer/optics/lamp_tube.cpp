// A straight flash or fluorescent tube: a closed cylinder along x. Not here: bent tubes (lamp_ring).
#include "renderer/optics/lamp_shapes.h"

namespace keyfall::lamps {

namespace {

double halfLength_m(const LampShape& lamp) { return 0.5 * static_cast<double>(lamp.a_m); }
double radius_m(const LampShape& lamp) { return 0.5 * static_cast<double>(lamp.b_m); }

/// Part [t0, t1] of the ray's line inside the endless cylinder; false when it passes by.
bool insideMantle(const LocalRay& ray, double r, double& t0, double& t1) {
    const glm::dvec2 o{ray.origin.y, ray.origin.z};
    const glm::dvec2 d{ray.direction.y, ray.direction.z};
    const double d2 = glm::dot(d, d);
    if (d2 < 1e-24) {  // along the axis: all in or all out
        t0 = -1e300;
        t1 = 1e300;
        return glm::dot(o, o) < r * r;
    }
    const double b = -glm::dot(o, d) / d2;
    const glm::dvec2 foot = o + b * d;
    const double c = (r * r - glm::dot(foot, foot)) / d2;
    if (c <= 0.0) return false;
    t0 = b - std::sqrt(c);
    t1 = b + std::sqrt(c);
    return true;
}

std::optional<LampHit> intersect(const LampShape& lamp, const LocalRay& ray, double near,
                                 double far) {
    const double r = radius_m(lamp);
    const double h = halfLength_m(lamp);
    double t0 = 0.0;
    double t1 = 0.0;
    if (!insideMantle(ray, r, t0, t1)) return std::nullopt;
    bool cap0 = false;
    bool cap1 = false;
    const double dx = ray.direction.x;
    if (std::fabs(dx) > 1e-12) {
        const double toward = std::copysign(1.0, dx);
        const double in = (-toward * h - ray.origin.x) / dx;
        const double out = (toward * h - ray.origin.x) / dx;
        cap0 = in > t0;
        cap1 = out < t1;
        t0 = std::fmax(t0, in);
        t1 = std::fmin(t1, out);
    } else if (std::fabs(ray.origin.x) >= h) {
        return std::nullopt;
    }
    double t = 0.0;
    bool fromInside = false;
    if (t0 >= t1 || !meetConvex(t0, t1, near, far, t, fromInside)) return std::nullopt;
    const glm::dvec3 q = ray.origin + t * ray.direction;
    const bool cap = fromInside ? cap1 : cap0;
    const glm::dvec3 n = cap ? glm::dvec3(std::copysign(1.0, q.x), 0.0, 0.0)
                             : glm::dvec3(0.0, q.y, q.z) / std::sqrt(q.y * q.y + q.z * q.z);
    return LampHit{static_cast<float>(t), glm::vec3(toWorld(lamp.frame, n)), !fromInside};
}

// The point in the tube's frame, and what follows from it:
//   kRho        distance from the axis            kSinMax  sine of the angle, seen from the axis, to
//   kDepth      distance the length is seen from           the outline of the mantle: sqrt(1-(r/rho)^2)
//   kSigma0/1   s/sqrt(depth^2 + s^2) at the ends kMantle  probability of drawing from the mantle
enum K { kX, kY, kZ, kRho, kSinMax, kDepth, kSigma0, kSigma1, kMantle };

/// Solid angle of a cap that lies `gap` ahead and rho aside, as a point of its area (an estimate).
double capEstimate_sr(double r, double gap, double rho) {
    if (gap <= 0.0) return 0.0;
    const double d2 = gap * gap + rho * rho + r * r;
    return kPi * r * r * gap / (d2 * std::sqrt(d2));
}

void view(LampView& v, glm::dvec3 local) {
    const double r = radius_m(*v.lamp);
    const double h = halfLength_m(*v.lamp);
    const double rho = std::sqrt(local.y * local.y + local.z * local.z);
    const double gap = std::fabs(local.x) - h;
    if (rho <= r && gap <= 0.0) return;
    for (int i = 0; i < 3; ++i) v.k[kX + i] = local[i];
    v.k[kRho] = rho;
    double mantle_sr = 0.0;
    if (rho > r) {
        const double depth = rho - 0.5 * r;  // between the near line of the mantle and the axis
        const double s0 = -h - local.x;
        const double s1 = h - local.x;
        v.k[kSinMax] = std::sqrt((rho - r) * (rho + r)) / rho;
        v.k[kDepth] = depth;
        v.k[kSigma0] = s0 / std::sqrt(depth * depth + s0 * s0);
        v.k[kSigma1] = s1 / std::sqrt(depth * depth + s1 * s1);
        mantle_sr = 2.0 * r * v.k[kSinMax] / depth * (v.k[kSigma1] - v.k[kSigma0]);
    }
    const double cap_sr = capEstimate_sr(r, gap, rho);
    v.k[kMantle] = mantle_sr / (mantle_sr + cap_sr);
    v.solidAngle_sr = static_cast<float>(std::fmin(2.0 * kPi, mantle_sr + cap_sr));
    v.technique = 1;
}

// Mantle, by area:  p(s) * p(delta) / r, with s along the axis and delta around it.
//   p(s) = depth^2 / ((depth^2 + s^2)^(3/2) (sigma1 - sigma0)): even in the solid angle of a thin
//          tube, whose element shows r-width times depth/d^3; no far end of a long tube is wasted
//   p(delta) = cos(delta) / (2 sinMax): even in apparent width
double mantlePerArea(const LampView& v, double s, double cosDelta) {
    const double depth2 = v.k[kDepth] * v.k[kDepth];
    const double d2 = depth2 + s * s;
    const double perLength = depth2 / (d2 * std::sqrt(d2) * (v.k[kSigma1] - v.k[kSigma0]));
    return v.k[kMantle] * perLength * cosDelta / (2.0 * v.k[kSinMax] * radius_m(*v.lamp));
}

double capPerArea(const LampView& v) {
    const double r = radius_m(*v.lamp);
    return (1.0 - v.k[kMantle]) / (kPi * r * r);
}

/// Area density to solid angle: dw = cos dA / d^2. `facing` is d cos, from the surface's normal.
std::optional<LampSample> finishByArea(const LampView& v, glm::dvec3 offset, glm::dvec3 normal,
                                       double perArea) {
    const double facing = -glm::dot(normal, offset);
    if (facing <= 0.0) return std::nullopt;
    const double d2 = glm::dot(offset, offset);
    return finish(v, offset, normal, perArea * d2 * std::sqrt(d2) / facing);
}

std::optional<LampSample> sampleCap(const LampView& v, glm::dvec2 u) {
    const double end = std::copysign(1.0, v.k[kX]);
    const glm::dvec2 p = radius_m(*v.lamp) * unitDisk(u);
    const glm::dvec3 offset{end * halfLength_m(*v.lamp) - v.k[kX], p.x - v.k[kY], p.y - v.k[kZ]};
    return finishByArea(v, offset, {end, 0.0, 0.0}, capPerArea(v));
}

std::optional<LampSample> sampleMantle(const LampView& v, glm::dvec2 u) {
    const double r = radius_m(*v.lamp);
    const double h = halfLength_m(*v.lamp);
    const double sigma = v.k[kSigma0] + u.x * (v.k[kSigma1] - v.k[kSigma0]);
    const double along = v.k[kDepth] * sigma / std::sqrt(std::fmax(1e-30, 1.0 - sigma * sigma));
    const double s = std::fmin(h - v.k[kX], std::fmax(-h - v.k[kX], along));
    const double sinDelta = v.k[kSinMax] * (2.0 * u.y - 1.0);
    const double cosDelta = std::sqrt(1.0 - sinDelta * sinDelta);
    const glm::dvec2 toward = glm::dvec2(v.k[kY], v.k[kZ]) / v.k[kRho];
    const glm::dvec2 n = cosDelta * toward + sinDelta * glm::dvec2(-toward.y, toward.x);
    const glm::dvec3 offset{s, r * n.x - v.k[kY], r * n.y - v.k[kZ]};
    return finishByArea(v, offset, {0.0, n.x, n.y}, mantlePerArea(v, s, cosDelta));
}

std::optional<LampSample> sample(const LampView& v, glm::dvec2 u) {
    const double m = v.k[kMantle];
    if (u.x < m) return sampleMantle(v, {u.x / m, u.y});
    return sampleCap(v, {(u.x - m) / (1.0 - m), u.y});
}

double pdf(const LampView& v, glm::vec3 direction, const LampHit& hit) {
    const glm::dvec3 n = toLocal(v.lamp->frame, glm::dvec3(hit.normal));
    const glm::dvec3 w = toLocal(v.lamp->frame, glm::dvec3(direction));
    const double distance = static_cast<double>(hit.distance_m);
    const double cosLight = -glm::dot(n, w);
    if (cosLight <= 0.0) return 0.0;
    const double perSr = distance * distance / cosLight;
    if (std::fabs(n.x) > 0.5) return capPerArea(v) * perSr;
    if (v.k[kMantle] <= 0.0) return 0.0;
    const double cosDelta = (n.y * v.k[kY] + n.z * v.k[kZ]) / v.k[kRho];
    return std::fmax(0.0, mantlePerArea(v, w.x * distance, cosDelta)) * perSr;
}

double area(const LampShape& lamp) {
    const double r = radius_m(lamp);
    return 2.0 * kPi * r * (static_cast<double>(lamp.a_m) + r);
}

}  // namespace

const Shape kTube{intersect, view, sample, pdf, area};

}  // namespace keyfall::lamps
