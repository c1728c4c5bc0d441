// The silhouette of a ring lamp and the share of its light that gets away.
// Not here: other lamps, which are convex (lamp_shape.h).
#pragma once

namespace keyfall {

/// Area that a torus covers when seen from far away at `tilt_rad` from its axis, m^2.
/// R: radius of the tube's centre line, r < R: radius of the tube, metres.
double torusSilhouette_m2(double R_m, double r_m, double tilt_rad);

/// Share of a torus' Lambertian light that does not meet the torus again.
double torusLeavingShare(double R_m, double r_m);

/// Simpson's rule with `steps` (even) intervals.
template <class F>
double simpson(F&& f, double from, double to, int steps) {
    const double h = (to - from) / steps;
    double sum = f(from) + f(to);
    for (int i = 1; i < steps; ++i) sum += (i % 2 == 1 ? 4.0 : 2.0) * f(from + i * h);
    return sum * h / 3.0;
}

}  // namespace keyfall
