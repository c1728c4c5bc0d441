// Along one direction w, every straight line that meets a Lambertian body of uniform luminance L
// leaves it for the last time exactly once, there at full luminance. So the flux that gets away is
//     Phi_out = L * integral over all w of S(w) dw,     S(w) = area of the silhouette,
// and what was emitted is pi L A with A = 4 pi^2 R r. The torus has an axis, hence
//     share = (4 pi / (pi A)) * integral from 0 to pi/2 of S(t) sin t dt.
// (For a convex body this is Cauchy's theorem, mean of S = A/4, and the share is 1.)
//
// A torus is the union of balls of radius r on a circle of radius R. Seen at t from the axis the
// circle is an ellipse with half axes a = R and b = R cos t, and the silhouette is every point
// within r of it:
//     outer area = pi a b + r P + pi r^2   (Steiner, P = perimeter of the ellipse),
// less the hole: points inside the ellipse farther than r from it. The hole's edge is the inner
// parallel curve, but only where the point of the ellipse is still the nearest one. A normal of
// the ellipse at (a cos s, b sin s) meets the long axis, where that ends, after q b / a with
// q^2 = a^2 sin^2 s + b^2 cos^2 s; so the edge runs from q = r a / b to s = pi/2, and there is no
// hole when r >= b.
#include "scene/torus_silhouette.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace keyfall {

namespace {

constexpr double kPi = std::numbers::pi;

/// Perimeter of an ellipse, a >= b: 4 a E(e), e the eccentricity.
double perimeter(double a, double b) {
    return 4.0 * a * std::comp_ellint_2(std::sqrt(std::max(0.0, 1.0 - b * b / (a * a))));
}

/// Area inside the ellipse and farther than r from it: 4 times the integral of y dx over a quarter
/// of the inner parallel curve x = (a - r b / q) cos s, y = (b - r a / q) sin s.
double holeArea(double a, double b, double r) {
    if (r >= b) return 0.0;
    // q^2 = b^2 + (a^2 - b^2) sin^2 s = (r a / b)^2 where the edge starts; a circle starts at 0.
    const double start2 = (r * a / b) * (r * a / b) - b * b;
    const double start =
        start2 > 0.0 ? std::asin(std::min(1.0, std::sqrt(start2 / (a * a - b * b)))) : 0.0;
    const auto ydx = [&](double s) {
        const double sine = std::sin(s), cosine = std::cos(s);
        const double q = std::sqrt(a * a * sine * sine + b * b * cosine * cosine);
        const double dq = (a * a - b * b) * sine * cosine / q;
        const double dx = -(a - r * b / q) * sine + r * b * cosine * dq / (q * q);
        return -(b - r * a / q) * sine * dx;
    };
    return 4.0 * simpson(ydx, start, 0.5 * kPi, 256);
}

}  // namespace

double torusSilhouette_m2(double R, double r, double tilt_rad) {
    const double b = R * std::abs(std::cos(tilt_rad));
    return kPi * R * b + r * perimeter(R, b) + kPi * r * r - holeArea(R, b, r);
}

double torusLeavingShare(double R, double r) {
    const auto integrand = [&](double t) { return torusSilhouette_m2(R, r, t) * std::sin(t); };
    // The silhouette has kinks where the hole's edge gets corners (r = b^2 / a) and where the hole
    // closes (r = b): Simpson's rule is used between them.
    const double corners = std::acos(std::sqrt(r / R));
    const double closes = std::acos(r / R);
    const double integral = simpson(integrand, 0.0, corners, 256) +
                            simpson(integrand, corners, closes, 256) +
                            simpson(integrand, closes, 0.5 * kPi, 256);
    const double area = 4.0 * kPi * kPi * R * r;
    return 4.0 * integral / area;
}

}  // namespace keyfall
