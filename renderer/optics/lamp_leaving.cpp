// How much of a lamp's light leaves it. Only a ring keeps some. Not here: rays (lamp_ring.cpp).
//
// Every ray of light that leaves the lamp lies on a line that meets the body, and every such line,
// with a direction, has one last way out. So the leaving flux is L times the measure of the oriented
// lines that meet the body: the silhouette's area, integrated over directions (Cauchy's argument,
// which needs no convexity when only the last exit counts):
//   leavingShare = integral over 4 pi of silhouette dw / (pi area)
//                = 4 * mean silhouette / area
// A torus is the union of balls of radius r along a circle, so its silhouette is the union of discs
// of radius r along an ellipse a = R, b = R mu (mu = cosine of the direction to the axis): everything
// within r of the ellipse.
//   outward: pi a b + r P + pi r^2 (Steiner; P the perimeter)
//   the hole: points inside, farther than r from the ellipse
#include <algorithm>

#include "renderer/optics/lamp_ring.h"

namespace keyfall {

namespace {

constexpr int kSteps = 400;  // per integral; the measured error is in tests/optics/lamp_ring_test.cpp

/// Midpoint rule; the substitutions below make the integrands smooth to the ends.
template <class F>
double integrate(double from, double to, F f) {
    const double step = (to - from) / kSteps;
    double sum = 0.0;
    for (int i = 0; i < kSteps; ++i) sum += f(from + (i + 0.5) * step);
    return sum * step;
}

/// |d/dt (a cos t, b sin t)|.
double speed(double a, double b, double t) {
    return std::sqrt(a * a * std::sin(t) * std::sin(t) + b * b * std::cos(t) * std::cos(t));
}

double perimeter(double a, double b) {
    return 4.0 * integrate(0.0, 0.5 * kPi, [&](double t) { return speed(a, b, t); });
}

// The inner parallel curve, a quarter of it: the ellipse's point less r along its normal,
//   x = cos t (a - r b/s),   y = sin t (b - r a/s),   s = speed.
// Where y < 0 it has crossed the major axis and the point is nearer to the other side: no edge of the
// hole. So t starts at s(t0) = r a/b; there is no hole when b <= r. Area = 4 integral of y (-dx).
double hole(double a, double b, double r) {
    if (b <= r) return 0.0;
    const double s0 = r * a / b;
    double start = 0.0;
    if (s0 > b) {  // s^2 = b^2 + (a^2 - b^2) sin^2 t
        start = std::asin(std::sqrt(std::min(1.0, (s0 * s0 - b * b) / (a * a - b * b))));
    }
    return 4.0 * integrate(start, 0.5 * kPi, [&](double t) {
        const double s = speed(a, b, t);
        const double slope = (a * a - b * b) * std::sin(t) * std::cos(t) / s;  // ds/dt
        const double minusDx = std::sin(t) * (a - r * b / s) - std::cos(t) * r * b / (s * s) * slope;
        return std::sin(t) * (b - r * a / s) * minusDx;
    });
}

double silhouette(const lamps::Torus& torus, double mu) {
    const double a = torus.major;
    const double b = torus.major * mu;
    const double r = torus.minor;
    return kPi * a * b + r * perimeter(a, b) + kPi * r * r - hole(a, b, r);
}

}  // namespace

double leavingShare(const LampShape& lamp) {
    if (lamp.kind != LampKind::ring) return 1.0;
    const lamps::Torus torus = lamps::torusOf(lamp);
    // mean over directions = integral over mu from 0 to 1; cut where the hole opens
    const double opens = std::min(1.0, torus.minor / torus.major);
    const auto at = [&](double mu) { return silhouette(torus, mu); };
    const double mean = integrate(0.0, opens, at) + integrate(opens, 1.0, at);
    return 4.0 * mean / emittingArea_m2(lamp);
}

}  // namespace keyfall
