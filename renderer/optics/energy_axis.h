// Axes of the albedo tables. Not here: what stands in them (energy_table*.cpp).
#pragma once

#include <algorithm>
#include <cmath>

namespace keyfall {

/// Place on an axis of N nodes over [0, 1].
struct Place {
    int cell;
    float fraction;
};

template <int N>
Place place(float t) {
    const float x = std::clamp(t, 0.0F, 1.0F) * static_cast<float>(N - 1);
    const int cell = std::min(static_cast<int>(x), N - 2);
    return {cell, x - static_cast<float>(cell)};
}

inline float node(int i, int count) {
    return static_cast<float>(i) / static_cast<float>(count - 1);
}

inline float between(float a, float b, float f) {
    return a + (b - a) * f;
}

/// A mirror's node still needs a width to integrate.
inline constexpr float kLeastAlpha = 1e-5F;

/// The axis of widths, alpha^(3/4): E bends upward in alpha^(1/2) and near a mirror in alpha.
inline float widthAxis(float alpha) {
    const float root = std::sqrt(std::max(alpha, 0.0F));
    return root * std::sqrt(root);
}

inline float alphaOfWidthAxis(float t) {
    return std::max(std::cbrt(t) * t, kLeastAlpha);
}

/// The axis of angles, 0..1 for mu = 0..1. Masking is a function of mu/alpha alone when alpha is
/// small, with a dip of 11 % at mu = alpha that does not vanish with alpha: an axis in mu would
/// miss it. Half of the nodes follow that, half follow mu:
///   t = (sqrt(c) + mu) / 2,   c = mu (1 + alpha) / (mu + alpha)
inline float angleAxis(float mu, float alpha) {
    mu = std::max(mu, 0.0F);
    return 0.5F * (std::sqrt(mu * (1.0F + alpha) / (mu + alpha)) + mu);
}

/// mu dmu/dt, finite down to mu = 0.
inline float muPerAngleAxis(float mu, float alpha) {
    const float root = std::sqrt(mu * (1.0F + alpha) / (mu + alpha));
    return 2.0F * mu * mu / (0.5F * root * alpha / (mu + alpha) + mu);
}

/// The inverse of angleAxis(). In z = sqrt(c): z + alpha z^2 / (1 + alpha - z^2) = 2t, the left
/// side is convex and grows, so Newton's steps from above cannot overshoot.
inline float muOfAngleAxis(float t, float alpha) {
    if (t >= 1.0F) return 1.0F;
    double z = std::min(1.0, 2.0 * static_cast<double>(t));
    const double a = static_cast<double>(alpha);
    for (int i = 0; i < 30; ++i) {
        const double left = 1.0 + a - z * z;
        const double step = (z + a * z * z / left - 2.0 * static_cast<double>(t)) /
                            (1.0 + 2.0 * a * z * (1.0 + a) / (left * left));
        z -= step;
        if (std::abs(step) < 1e-9) break;
    }
    return static_cast<float>(a * z * z / (1.0 + a - z * z));
}

}  // namespace keyfall
