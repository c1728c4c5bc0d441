// A ring flash or circular tube: a torus, which can shade itself. Not here: the ray's roots
// (lamp_ring_solve.cpp), how much of its light it keeps (lamp_leaving.cpp).
#include "renderer/optics/lamp_ring.h"

namespace keyfall::lamps {

namespace {

std::optional<LampHit> intersect(const LampShape& lamp, const LocalRay& ray, double near,
                                 double far) {
    const Torus torus = torusOf(lamp);
    const std::optional<TorusHit> hit = meetTorus(torus, ray, near, far);
    if (!hit) return std::nullopt;
    const glm::dvec3 q = ray.origin + hit->t * ray.direction;
    const double rho = std::sqrt(q.x * q.x + q.y * q.y);
    const double shrink = 1.0 - torus.major / rho;
    const glm::dvec3 n = glm::normalize(glm::dvec3(q.x * shrink, q.y * shrink, q.z));
    return LampHit{static_cast<float>(hit->t), glm::vec3(toWorld(lamp.frame, n)), !hit->fromInside};
}

enum K { kX, kY, kZ };

/// The tube's cross-section at the angle of (ex, ey), as the viewer sees it: w points from the tube's
/// centre to the viewer's projection on the section's plane, which is all that decides facing.
struct Section {
    double ex, ey;    ///< outward, in the ring's plane
    double wr, wz;    ///< unit
    double distance;  ///< length of w; the tube's surface faces the viewer where n . w > r/distance
};

Section sectionAt(const LampView& v, double ex, double ey, double major) {
    const double wr = v.k[kX] * ex + v.k[kY] * ey - major;
    const double wz = v.k[kZ];
    const double distance = std::sqrt(wr * wr + wz * wz);
    return {ex, ey, wr / distance, wz / distance, distance};
}

// A short piece R dphi of the tube shows the width 2r and the share w/D of its length at distance D.
// Eight pieces, parts behind others counted too: an estimate, too high seen edge-on.
double estimate_sr(const LampView& v, const Torus& torus) {
    double sum = 0.0;
    for (int i = 0; i < 8; ++i) {
        constexpr double h = 0.70710678118654752;
        constexpr double kCos[8] = {1, h, 0, -h, -1, -h, 0, h};
        const Section s = sectionAt(v, kCos[i], kCos[(i + 6) % 8], torus.major);
        const double across = v.k[kY] * s.ex - v.k[kX] * s.ey;
        const double d2 = std::fmax(s.distance * s.distance + across * across,
                                    torus.minor * torus.minor);
        sum += s.distance / (d2 * std::sqrt(d2));
    }
    return std::fmin(2.0 * kPi, sum * 2.0 * torus.minor * torus.major * 2.0 * kPi / 8.0);
}

void view(LampView& v, glm::dvec3 local) {
    const Torus torus = torusOf(*v.lamp);
    if (isInside(torus, local)) return;
    for (int i = 0; i < 3; ++i) v.k[kX + i] = local[i];
    v.solidAngle_sr = static_cast<float>(estimate_sr(v, torus));
    v.technique = 1;
}

// Density over the surface: phi even, then delta around the tube even in apparent width:
//   dA = r (R + r n_r) dphi ddelta,   p = 1/(2 pi) * cos(delta)/(2 sinMax)
double perArea(const Torus& torus, const Section& s, double nr, double cosDelta) {
    const double ratio = torus.minor / s.distance;
    const double sinMax = std::sqrt((1.0 - ratio) * (1.0 + ratio));
    return cosDelta / (4.0 * kPi * sinMax * torus.minor * (torus.major + torus.minor * nr));
}

/// Only the inner half (nr < 0) can lie in the ring's own shadow: the outer half is on the convex
/// hull. The tolerance is far under the tube's radius and far over the root's error.
bool hidden(const Torus& torus, const LampView& v, glm::dvec3 offset, double nr) {
    if (nr >= 0.0) return false;
    const double distance = std::sqrt(glm::dot(offset, offset));
    const LocalRay ray{{v.k[kX], v.k[kY], v.k[kZ]}, offset / distance};
    return meetTorus(torus, ray, 0.0, distance - 1e-5 * torus.minor).has_value();
}

std::optional<LampSample> sample(const LampView& v, glm::dvec2 u) {
    const Torus torus = torusOf(*v.lamp);
    const SinCos phi = sinCosTurns(u.x);
    const Section s = sectionAt(v, phi.cos, phi.sin, torus.major);
    if (s.distance <= torus.minor) return std::nullopt;  // this section shows no face
    const double ratio = torus.minor / s.distance;
    const double sinDelta = std::sqrt((1.0 - ratio) * (1.0 + ratio)) * (2.0 * u.y - 1.0);
    const double cosDelta = std::sqrt(1.0 - sinDelta * sinDelta);
    const double nr = cosDelta * s.wr - sinDelta * s.wz;
    const double nz = cosDelta * s.wz + sinDelta * s.wr;
    const double rho = torus.major + torus.minor * nr;
    const glm::dvec3 offset{rho * s.ex - v.k[kX], rho * s.ey - v.k[kY],
                            torus.minor * nz - v.k[kZ]};
    const double facing = s.distance * cosDelta - torus.minor;  // distance times cosLight
    if (facing <= 0.0 || hidden(torus, v, offset, nr)) return std::nullopt;
    const double d2 = glm::dot(offset, offset);
    return finish(v, offset, {nr * s.ex, nr * s.ey, nz},
                  perArea(torus, s, nr, cosDelta) * d2 * std::sqrt(d2) / facing);
}

double pdf(const LampView& v, glm::vec3 direction, const LampHit& hit) {
    const Torus torus = torusOf(*v.lamp);
    const glm::dvec3 w = toLocal(v.lamp->frame, glm::dvec3(direction));
    const glm::dvec3 n = toLocal(v.lamp->frame, glm::dvec3(hit.normal));
    const double distance = static_cast<double>(hit.distance_m);
    const double x = v.k[kX] + distance * w.x;
    const double y = v.k[kY] + distance * w.y;
    const double rho = std::sqrt(x * x + y * y);
    const double cosLight = -glm::dot(n, w);
    if (rho <= 0.0 || cosLight <= 0.0) return 0.0;
    const Section s = sectionAt(v, x / rho, y / rho, torus.major);
    if (s.distance <= torus.minor) return 0.0;
    const double nr = n.x * s.ex + n.y * s.ey;
    const double cosDelta = std::fmax(0.0, nr * s.wr + n.z * s.wz);
    return perArea(torus, s, nr, cosDelta) * distance * distance / cosLight;
}

double area(const LampShape& lamp) {
    const Torus torus = torusOf(lamp);
    return 4.0 * kPi * kPi * torus.major * torus.minor;
}

}  // namespace

const Shape kRing{intersect, view, sample, pdf, area};

}  // namespace keyfall::lamps
