// Ray against torus: every crossing, in order, none invented. Not here: normals, emission.
//
// Along o + t d the torus is p(t) = (|x|^2 + R^2 - r^2)^2 - 4 R^2 (x^2 + y^2), negative inside. With t
// counted from the foot of the perpendicular from the centre (o . d = 0, |o|^2 = m) the cubic term
// vanishes:
//   A = m + R^2 - r^2
//   p(t) = t^4 + (2A - 4R^2(1 - dz^2)) t^2 + 8 R^2 oz dz t + A^2 - 4R^2(m - oz^2)
// Closed quartic formulas lose their digits exactly at grazing rays. Here p is cut where its
// derivative changes sign, and that where its own does, so each piece holds at most one root, which
// safeguarded Newton steps cannot miss. Alternative rejected: sphere tracing, which needs hundreds
// of steps along a grazing ray.
#include <algorithm>
#include <array>

#include "renderer/optics/lamp_ring.h"

namespace keyfall::lamps {

namespace {

/// t^4 + c2 t^2 + c1 t + c0.
struct Quartic {
    double c2, c1, c0;
    double value(double t) const { return ((t * t + c2) * t + c1) * t + c0; }
    double slope(double t) const { return (4.0 * t * t + 2.0 * c2) * t + c1; }
    double bend(double t) const { return 12.0 * t * t + 2.0 * c2; }
};

/// The root of f between a and b, where f(a) and f(b) differ in sign: Newton, halved when it leaves
/// the bracket or converges slowly.
template <class F, class D>
double root(F f, D derivative, double a, double b, double fa) {
    double t = 0.5 * (a + b);
    for (int i = 0; i < 100; ++i) {
        const double ft = f(t);
        if (ft == 0.0) return t;
        ((ft < 0.0) == (fa < 0.0) ? a : b) = t;
        const double slope = derivative(t);
        const double step = slope != 0.0 ? ft / slope : b - a;
        double next = t - step;
        if (!(next > std::min(a, b) && next < std::max(a, b))) next = 0.5 * (a + b);
        // Newton from one side leaves the other end of the bracket where it was: every fourth
        // step halves it, so the loop ends in any case
        if (i % 4 == 3 && std::fabs(step) > 1e-3 * std::fabs(b - a)) next = 0.5 * (a + b);
        if (std::fabs(next - t) <= 1e-14 * (1.0 + std::fabs(t))) return next;
        t = next;
    }
    return t;
}

/// Where the slope is 0 within (a, b), rising; at most 3.
int turningPoints(const Quartic& p, double a, double b, std::array<double, 3>& out) {
    std::array<double, 4> cut{a, b, b, b};
    int pieces = 1;
    if (p.c2 < 0.0) {
        const double bendless = std::sqrt(-p.c2 / 6.0);
        pieces = 0;
        for (const double t : {-bendless, bendless}) {
            if (t > a && t < b) cut[static_cast<std::size_t>(++pieces)] = t;
        }
        cut[static_cast<std::size_t>(++pieces)] = b;
    }
    int count = 0;
    for (std::size_t i = 0; i < static_cast<std::size_t>(pieces); ++i) {
        const double sa = p.slope(cut[i]);
        if ((sa < 0.0) == (p.slope(cut[i + 1]) < 0.0)) continue;
        out[static_cast<std::size_t>(count++)] =
            root([&](double t) { return p.slope(t); }, [&](double t) { return p.bend(t); }, cut[i],
                 cut[i + 1], sa);
    }
    return count;
}

/// Crossings of p in (a, b), rising; at most 4.
int crossings(const Quartic& p, double a, double b, std::array<double, 4>& out) {
    std::array<double, 3> turn{};
    const int turns = turningPoints(p, a, b, turn);
    int count = 0;
    double from = a;
    for (int i = 0; i <= turns; ++i) {
        const double to = i < turns ? turn[static_cast<std::size_t>(i)] : b;
        const double pf = p.value(from);
        if ((pf < 0.0) != (p.value(to) < 0.0)) {
            out[static_cast<std::size_t>(count++)] =
                root([&](double t) { return p.value(t); }, [&](double t) { return p.slope(t); },
                     from, to, pf);
        }
        from = to;
    }
    return count;
}

/// The ray's part that can meet the torus: in the slab |z| <= r and in the sphere of R + r.
bool clip(const Torus& torus, double oz, double dz, double m, double& a, double& b) {
    const double outer = torus.major + torus.minor;
    if (m >= outer * outer) return false;
    const double half = std::sqrt(outer * outer - m) * (1.0 + 1e-6);
    a = -half;
    b = half;
    if (std::fabs(dz) < 1e-12) return std::fabs(oz) < torus.minor;
    const double margin = torus.minor * (1.0 + 1e-6);
    const double z0 = (-std::copysign(margin, dz) - oz) / dz;
    const double z1 = (std::copysign(margin, dz) - oz) / dz;
    a = std::max(a, z0);
    b = std::min(b, z1);
    return a < b;
}

}  // namespace

bool isInside(const Torus& torus, glm::dvec3 p) {
    const double out = std::sqrt(p.x * p.x + p.y * p.y) - torus.major;
    return out * out + p.z * p.z < torus.minor * torus.minor;
}

// All lengths are divided by R first, so that one tolerance serves every size.
std::optional<TorusHit> meetTorus(const Torus& torus, const LocalRay& ray, double near,
                                  double far) {
    const double R = torus.major;
    const Torus unit{1.0, torus.minor / R};
    const double back = -glm::dot(ray.origin, ray.direction);
    const glm::dvec3 foot = (ray.origin + back * ray.direction) / R;
    const double m = glm::dot(foot, foot);
    const double dz = ray.direction.z;
    double a = 0.0;
    double b = 0.0;
    if (!clip(unit, foot.z, dz, m, a, b)) return std::nullopt;
    const bool inside = isInside(torus, ray.origin);
    if (b <= (near - back) / R || a >= (far - back) / R) return std::nullopt;

    const double A = m + 1.0 - unit.minor * unit.minor;
    const Quartic p{2.0 * A - 4.0 * (1.0 - dz * dz), 8.0 * foot.z * dz,
                    A * A - 4.0 * (m - foot.z * foot.z)};
    std::array<double, 4> t{};
    const int count = crossings(p, a, b, t);
    for (int i = 0; i < count; ++i) {
        const double at = t[static_cast<std::size_t>(i)];
        const double distance = at * R + back;
        if (!(distance > near && distance < far)) continue;
        // outside the torus at `a`: crossings alternate, entries first
        const bool entry = i % 2 == 0;
        if (entry || inside) return TorusHit{distance, !entry};
    }
    return std::nullopt;
}

}  // namespace keyfall::lamps
