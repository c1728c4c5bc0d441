// A ring flash or circular tube: a torus, which can shade itself. Not here: the ray's roots
// (lamp_ring_solve.cpp), how much of its light it keeps (lamp_leaving.cpp).
#include "renderer/optics/lamp_ring.h"

#include <algorithm>

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

constexpr int kNodes = 8;  ///< angles around the ring at which its apparent width is worked out
enum K { kX, kY, kZ, kWeight, kMean = kWeight + kNodes };

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

// A short piece R dphi of the tube shows the width 2r and the share w/D of its length at distance D:
// weight = w/D^3. Parts behind others count too.
double weightAt(const LampView& v, const Torus& torus, const Section& s) {
    const double across = v.k[kY] * s.ex - v.k[kX] * s.ey;
    const double d2 = std::fmax(s.distance * s.distance + across * across,
                                torus.minor * torus.minor);
    return s.distance / (d2 * std::sqrt(d2));
}

/// Weights at the nodes, never under a tenth of their mean: between two nodes more may be seen.
void viewWeights(LampView& v, const Torus& torus) {
    constexpr double h = 0.70710678118654752;
    constexpr double kCos[kNodes] = {1, h, 0, -h, -1, -h, 0, h};
    double sum = 0.0;
    for (int i = 0; i < kNodes; ++i) {
        const Section s = sectionAt(v, kCos[i], kCos[(i + 6) % kNodes], torus.major);
        v.k[kWeight + i] = weightAt(v, torus, s);
        sum += v.k[kWeight + i];
    }
    v.solidAngle_sr = static_cast<float>(
        std::fmin(2.0 * kPi, sum / kNodes * 4.0 * kPi * torus.minor * torus.major));
    v.k[kMean] = 0.0;
    for (int i = 0; i < kNodes; ++i) {
        v.k[kWeight + i] = std::fmax(v.k[kWeight + i], 0.1 * sum / kNodes);
        v.k[kMean] += v.k[kWeight + i] / kNodes;
    }
}

/// Density over `turn` in [0, 1): linear between the nodes.
double perTurn(const LampView& v, double turn) {
    const double at = turn * kNodes;
    const int i = std::min(kNodes - 1, static_cast<int>(at));
    const double a = v.k[kWeight + i];
    const double b = v.k[kWeight + (i + 1) % kNodes];
    return (a + (at - i) * (b - a)) / v.k[kMean];
}

double drawTurn(const LampView& v, double u) {
    double left = u * kNodes * v.k[kMean];
    for (int i = 0;; ++i) {
        const double a = v.k[kWeight + i];
        const double b = v.k[kWeight + (i + 1) % kNodes];
        const double mass = 0.5 * (a + b);
        if (left < mass || i == kNodes - 1) {
            return (i + sampleLinear(std::fmin(1.0, left / mass), a, b)) / kNodes;
        }
        left -= mass;
    }
}

void view(LampView& v) {
    const glm::dvec3 local = localPoint(*v.lamp, v.point_m);
    const Torus torus = torusOf(*v.lamp);
    if (isInside(torus, local)) return;
    for (int i = 0; i < 3; ++i) v.k[kX + i] = local[i];
    viewWeights(v, torus);
    v.technique = 1;
}

// Phi follows perTurn(), p = perTurn / 2 pi. Within a section xi = sin(incidence) is even in -1..1, which makes the
// draw even in apparent width (lamp_tube.cpp has the same circle). With alpha the direction off the
// section's centre and t the way to the circle in the section's plane,
//   p(delta) = rho cos(theta) cos(alpha) / (2 t),   dA = r (R + r n_r) dphi ddelta,
//   dw = t cos(theta) dA / d^3    =>   pdf = perTurn rho cos(alpha) d^3 / (4 pi r (R + r n_r) t^2)
// Written with t cos(alpha) = rho - r cos(delta), so that draw and pdf need only delta.
double perSr(const Torus& torus, const Section& s, double cosDelta, double nr, double d,
             double turnDensity) {
    const double ahead = s.distance - torus.minor * cosDelta;
    const double aside2 = torus.minor * torus.minor * std::fmax(0.0, 1.0 - cosDelta * cosDelta);
    const double t2 = ahead * ahead + aside2;
    return turnDensity * s.distance * ahead * d * d * d /
           (4.0 * kPi * torus.minor * (torus.major + torus.minor * nr) * t2 * std::sqrt(t2));
}

/// Only the inner half (nr < 0) can lie in the ring's own shadow: the outer half is on the convex
/// hull. The tolerance is far under the tube's radius and far over the root's error.
bool hidden(const Torus& torus, const LampView& v, glm::dvec3 offset, double nr) {
    if (nr >= 0.0) return false;
    const double distance = std::sqrt(glm::dot(offset, offset));
    if (distance <= 0.0) return true;
    const LocalRay ray{{v.k[kX], v.k[kY], v.k[kZ]}, offset / distance};
    return meetTorus(torus, ray, 0.0, distance - 1e-5 * torus.minor).has_value();
}

std::optional<LampSample> sample(const LampView& v, glm::dvec2 u) {
    const Torus torus = torusOf(*v.lamp);
    const double turn = drawTurn(v, u.x);
    const SinCos phi = sinCosTurns(turn);
    const Section s = sectionAt(v, phi.cos, phi.sin, torus.major);
    if (s.distance <= torus.minor) return std::nullopt;  // this section shows no face
    const double xi = 2.0 * u.y - 1.0;
    const double cosTheta = std::sqrt(std::fmax(0.0, (1.0 - xi) * (1.0 + xi)));
    const double sinAlpha = xi * torus.minor / s.distance;
    const double cosAlpha = std::sqrt((1.0 - sinAlpha) * (1.0 + sinAlpha));
    const double cosDelta = cosTheta * cosAlpha + xi * sinAlpha;
    const double sinDelta = xi * cosAlpha - cosTheta * sinAlpha;
    const double nr = cosDelta * s.wr - sinDelta * s.wz;
    const double nz = cosDelta * s.wz + sinDelta * s.wr;
    const double rho = torus.major + torus.minor * nr;
    const glm::dvec3 offset{rho * s.ex - v.k[kX], rho * s.ey - v.k[kY],
                            torus.minor * nz - v.k[kZ]};
    if (cosTheta <= 0.0 || hidden(torus, v, offset, nr)) return std::nullopt;
    const double d = std::sqrt(glm::dot(offset, offset));
    return finish(v, offset, perSr(torus, s, cosDelta, nr, d, perTurn(v, turn)));
}

double pdf(const LampView& v, glm::vec3 direction, const LampHit& hit) {
    const Torus torus = torusOf(*v.lamp);
    const glm::dvec3 w = toLocal(v.lamp->frame, glm::dvec3(direction));
    const glm::dvec3 n = toLocal(v.lamp->frame, glm::dvec3(hit.normal));
    const double distance = static_cast<double>(hit.distance_m);
    const double x = v.k[kX] + distance * w.x;
    const double y = v.k[kY] + distance * w.y;
    const double rho = std::sqrt(x * x + y * y);
    if (rho <= 0.0 || glm::dot(n, w) >= 0.0) return 0.0;
    const Section s = sectionAt(v, x / rho, y / rho, torus.major);
    if (s.distance <= torus.minor) return 0.0;
    const double nr = n.x * s.ex + n.y * s.ey;
    const double turn = angleOf(s.ey, s.ex) * (0.5 / kPi);
    return perSr(torus, s, std::fmin(1.0, nr * s.wr + n.z * s.wz), nr, distance, perTurn(v, turn));
}

double area(const LampShape& lamp) {
    const Torus torus = torusOf(lamp);
    return 4.0 * kPi * kPi * torus.major * torus.minor;
}

}  // namespace

const Shape kRing{intersect, view, sample, pdf, area};

}  // namespace keyfall::lamps
