// Sines and angles of drawn directions, from + - * / and sqrt alone: the C library picks other code
// on other processors and the last bit follows. The exponential of an absorption and tables made at
// the start still come from the C library. Not here: full-precision functions.
#pragma once

#include <cmath>
#include <glm/glm.hpp>

namespace keyfall {

inline constexpr double kPi = 3.14159265358979323846;

struct SinCos {
    double sin;
    double cos;
};

/// Sine and cosine of 2 pi `turns`, for turns in [-1e6, 1e6]; error under 1e-11.
///
/// Reduced to the nearest quarter turn, then Taylor: the first terms left out are x^13/13! and
/// x^14/14!, at x = pi/4 under 7e-12.
inline SinCos sinCosTurns(double turns) {
    const double quarters = 4.0 * turns;
    const double nearest = std::floor(quarters + 0.5);
    const double x = (quarters - nearest) * (0.5 * kPi);
    const double q = x * x;
    const double s =
        x * (1.0 + q * (-1.0 / 6 + q * (1.0 / 120 + q * (-1.0 / 5040 + q * (1.0 / 362880 +
             q * (-1.0 / 39916800))))));
    const double c = 1.0 + q * (-1.0 / 2 + q * (1.0 / 24 + q * (-1.0 / 720 + q * (1.0 / 40320 +
                     q * (-1.0 / 3628800 + q * (1.0 / 479001600))))));
    switch (static_cast<long long>(nearest) & 3) {
        case 0: return {s, c};
        case 1: return {c, -s};
        case 2: return {-s, -c};
        default: return {-c, s};
    }
}

/// The same in floats, for u in [0, 1): error under 1.5e-7. Twice as fast, for directions that end
/// as floats anyway.
inline glm::vec2 cosSinTurns(float turns) {
    const float quarters = 4.0F * turns;
    const int nearest = static_cast<int>(quarters + 0.5F);
    const float x = (quarters - static_cast<float>(nearest)) * static_cast<float>(0.5 * kPi);
    const float q = x * x;
    const float s = x * (1.0F + q * (-1.0F / 6 + q * (1.0F / 120 + q * (-1.0F / 5040 + q / 362880))));
    const float c = 1.0F + q * (-0.5F + q * (1.0F / 24 + q * (-1.0F / 720 + q / 40320)));
    const bool swap = (nearest & 1) != 0;
    const float cosine = swap ? s : c;
    const float sine = swap ? c : s;
    // Quarter 1: (-s, c), 2: (-c, -s), 3: (s, -c).
    return {((nearest + 1) & 2) != 0 ? -cosine : cosine, (nearest & 2) != 0 ? -sine : sine};
}

/// Angle of the point (x, y) in [0, 2 pi), counted from the +x axis; 0 at the origin. Error under
/// 2e-12.
///
/// In the first octant atan(y/x) = atan(c) + atan(t), t = (y - c x)/(x + c y), with c the nearest of
/// 0, 1/4 .. 1, so |t| <= 1/8 and the series to t^11 leaves t^13/13 < 2e-13.
inline double angleOf(double y, double x) {
    const double ax = std::fabs(x);
    const double ay = std::fabs(y);
    const double large = ax > ay ? ax : ay;
    const double small = ax > ay ? ay : ax;
    if (large <= 0.0) return 0.0;
    const double e = 8.0 * small;
    const int step = static_cast<int>(e > large) + static_cast<int>(e > 3.0 * large) +
                     static_cast<int>(e > 5.0 * large) + static_cast<int>(e > 7.0 * large);
    constexpr double kAtanOfQuarters[5] = {0.0, 0.24497866312686415, 0.46364760900080612,
                                           0.64350110879328439, 0.78539816339744831};
    const double c = 0.25 * step;
    const double t = (small - c * large) / (large + c * small);
    const double q = t * t;
    double a = kAtanOfQuarters[step] +
               t * (1.0 + q * (-1.0 / 3 + q * (1.0 / 5 + q * (-1.0 / 7 + q * (1.0 / 9 +
                    q * (-1.0 / 11))))));
    if (ay > ax) a = 0.5 * kPi - a;
    if (x < 0.0) a = kPi - a;
    return y < 0.0 ? 2.0 * kPi - a : a;
}

}  // namespace keyfall
