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

// The point in the tube's frame; its distance from the axis; the probability of drawing the mantle.
enum K { kX, kY, kZ, kRho, kMantle };

/// Solid angle of a cap that lies `gap` ahead and rho aside, as a point of its area (an estimate).
double capEstimate_sr(double r, double gap, double rho) {
    if (gap <= 0.0) return 0.0;
    const double d2 = gap * gap + rho * rho + r * r;
    return kPi * r * r * gap / (d2 * std::sqrt(d2));
}

/// A straight strip of the mantle seen across `depth`: from end to end, as sine sigma of the angle
/// above the plane across the axis.
struct Strip {
    double low, high;
    double length() const { return high - low; }
};
Strip strip(const LampView& v, double depth) {
    const double s0 = -halfLength_m(*v.lamp) - v.k[kX];
    const double s1 = halfLength_m(*v.lamp) - v.k[kX];
    return {s0 / std::sqrt(depth * depth + s0 * s0), s1 / std::sqrt(depth * depth + s1 * s1)};
}

void view(LampView& v) {
    const glm::dvec3 local = localPoint(*v.lamp, v.point_m);
    const double r = radius_m(*v.lamp);
    const double h = halfLength_m(*v.lamp);
    const double rho = std::sqrt(local.y * local.y + local.z * local.z);
    const double gap = std::fabs(local.x) - h;
    if (rho <= r && gap <= 0.0) return;
    for (int i = 0; i < 3; ++i) v.k[kX + i] = local[i];
    v.k[kRho] = rho;
    double mantle_sr = 0.0;
    if (rho > r) mantle_sr = 2.0 * r / rho * strip(v, rho - 0.5 * r).length();
    const double cap_sr = capEstimate_sr(r, gap, rho);
    v.k[kMantle] = mantle_sr / (mantle_sr + cap_sr);
    v.solidAngle_sr = static_cast<float>(std::fmin(2.0 * kPi, mantle_sr + cap_sr));
    v.technique = 1;
}

/// Across the axis the tube is a circle at distance rho: alpha is the direction off its centre, theta
/// the incidence on it, xi = sin theta = rho sin(alpha)/r in -1..1, depth the way to the circle.
struct Across {
    double sinAlpha, cosAlpha, cosTheta, depth;
};
Across across(const LampView& v, double xi) {
    const double r = radius_m(*v.lamp);
    const double sinAlpha = xi * r / v.k[kRho];
    const double cosAlpha = std::sqrt((1.0 - sinAlpha) * (1.0 + sinAlpha));
    const double cosTheta = std::sqrt(std::fmax(0.0, (1.0 - xi) * (1.0 + xi)));
    return {sinAlpha, cosAlpha, cosTheta, v.k[kRho] * cosAlpha - r * cosTheta};
}

// In cylinder coordinates dw = dalpha dsigma. xi is even in -1..1 and sigma even along the strip, so
// the density is p(alpha) / length = rho cos(alpha) / (2 r length): nearly even in solid angle.
double mantlePerSr(const LampView& v, const Across& a, const Strip& along) {
    return v.k[kMantle] * v.k[kRho] * a.cosAlpha / (2.0 * radius_m(*v.lamp) * along.length());
}

double capPerArea(const LampView& v) {
    const double r = radius_m(*v.lamp);
    return (1.0 - v.k[kMantle]) / (kPi * r * r);
}

std::optional<LampSample> sampleCap(const LampView& v, glm::dvec2 u) {
    const double end = std::copysign(1.0, v.k[kX]);
    const glm::dvec2 p = radius_m(*v.lamp) * unitDisk(u);
    const glm::dvec3 offset{end * halfLength_m(*v.lamp) - v.k[kX], p.x - v.k[kY], p.y - v.k[kZ]};
    const double height = -end * offset.x;
    if (height <= 0.0) return std::nullopt;
    const double d2 = glm::dot(offset, offset);
    return finish(v, offset, capPerArea(v) * d2 * std::sqrt(d2) / height);
}

std::optional<LampSample> sampleMantle(const LampView& v, glm::dvec2 u) {
    const double xi = 2.0 * u.y - 1.0;
    const Across a = across(v, xi);
    const Strip along = strip(v, a.depth);
    const double sigma = along.low + u.x * along.length();
    const double s = a.depth * sigma / std::sqrt(std::fmax(1e-30, (1.0 - sigma) * (1.0 + sigma)));
    const double h = halfLength_m(*v.lamp);
    const double onTube = std::fmin(h - v.k[kX], std::fmax(-h - v.k[kX], s));
    // delta = theta - alpha is where on the circle: from the axis, off the direction to the viewer
    const double cosDelta = a.cosTheta * a.cosAlpha + xi * a.sinAlpha;
    const double sinDelta = xi * a.cosAlpha - a.cosTheta * a.sinAlpha;
    const glm::dvec2 toward = glm::dvec2(v.k[kY], v.k[kZ]) / v.k[kRho];
    const glm::dvec2 n = cosDelta * toward + sinDelta * glm::dvec2(-toward.y, toward.x);
    const double r = radius_m(*v.lamp);
    return finish(v, {onTube, r * n.x - v.k[kY], r * n.y - v.k[kZ]},
                  mantlePerSr(v, a, along));
}

std::optional<LampSample> sample(const LampView& v, glm::dvec2 u) {
    const double m = v.k[kMantle];
    if (u.x < m) return sampleMantle(v, {u.x / m, u.y});
    return sampleCap(v, {(u.x - m) / (1.0 - m), u.y});
}

double pdf(const LampView& v, glm::vec3 direction, const LampHit& hit) {
    const glm::dvec3 n = toLocal(v.lamp->frame, glm::dvec3(hit.normal));
    const glm::dvec3 w = toLocal(v.lamp->frame, glm::dvec3(direction));
    if (std::fabs(n.x) > 0.5) {
        const double d = static_cast<double>(hit.distance_m);
        const double cosLight = -n.x * w.x;
        return cosLight > 0.0 ? capPerArea(v) * d * d / cosLight : 0.0;
    }
    if (v.k[kMantle] <= 0.0) return 0.0;
    const double sinAlpha = (w.z * v.k[kY] - w.y * v.k[kZ]) /
                            (v.k[kRho] * std::sqrt(std::fmax(1e-300, w.y * w.y + w.z * w.z)));
    const double xi = std::fmin(1.0, std::fmax(-1.0, sinAlpha * v.k[kRho] / radius_m(*v.lamp)));
    const Across a = across(v, xi);
    return mantlePerSr(v, a, strip(v, a.depth));
}

double area(const LampShape& lamp) {
    const double r = radius_m(lamp);
    return 2.0 * kPi * r * (static_cast<double>(lamp.a_m) + r);
}

}  // namespace

const Shape kTube{intersect, view, sample, pdf, area};

}  // namespace keyfall::lamps
