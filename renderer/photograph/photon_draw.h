// Random numbers of the noise: a generator a pixel, Poisson and normal draws. Own code because the
// standard library's draws differ from one library to the next, and the same scene has to give the same
// bytes. Not here: what is drawn (noise.h); random numbers of paths (renderer/optics/sampler.h).
#pragma once

#include <array>
#include <cmath>
#include <cstdint>

namespace keyfall {

/// SplitMix64: Steele, Lea & Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014. One
/// for each pixel, so that no draw depends on the order of the pixels.
class PixelRandom {
  public:
    PixelRandom(std::uint32_t seed, std::uint64_t pixel) : state_(mixed(mixed(seed + kStep) + pixel * kStep)) {}

    /// In (0, 1), both ends out, 52 bits: a logarithm of it is finite.
    double next() {
        state_ += kStep;
        return (static_cast<double>(mixed(state_) >> 12U) + 0.5) * 0x1p-52;
    }

  private:
    static constexpr std::uint64_t kStep = 0x9e3779b97f4a7c15U;
    static constexpr std::uint64_t mixed(std::uint64_t x) {
        x = (x ^ (x >> 30U)) * 0xbf58476d1ce4e5b9U;
        x = (x ^ (x >> 27U)) * 0x94d049bb133111ebU;
        return x ^ (x >> 31U);
    }
    std::uint64_t state_;
};

/// ln k! of a whole k >= 0. From 16 on Stirling's series, 2e-12 off at most. Not std::lgamma, which
/// writes a global variable.
inline double logFactorial(double k) {
    static const std::array<double, 16> table = [] {
        std::array<double, 16> t{};
        for (std::size_t i = 1; i < t.size(); ++i) t[i] = t[i - 1] + std::log(static_cast<double>(i));
        return t;
    }();
    if (k < 16.0) return table[static_cast<std::size_t>(k)];
    constexpr double kHalfLog2Pi = 0.918938533204672742;
    const double r = 1.0 / k, r2 = r * r;
    return (k + 0.5) * std::log(k) - k + kHalfLog2Pi +
           r * (1.0 / 12 - r2 * (1.0 / 360 - r2 * (1.0 / 1260)));
}

/// Whole number of mean and variance `mean` >= 0; exact, no normal stands in for it.
///
/// Below 10: uniform numbers are multiplied until they fall below exp(-mean) (Knuth, The Art of Computer
/// Programming 2, 3.4.1). From 10: transformed rejection with squeeze, PTRS (Hoermann, "The transformed
/// rejection method for generating Poisson random variables", Insurance: Mathematics and Economics 12,
/// 1993), 1.1 to 1.2 turns a draw however large the mean.
inline double drawPoisson(double mean, PixelRandom& random) {
    if (mean < 10.0) {
        const double end = std::exp(-mean);
        double product = random.next(), k = 0.0;
        for (; product > end; k += 1.0) product *= random.next();
        return k;
    }
    const double logMean = std::log(mean);
    const double b = 0.931 + 2.53 * std::sqrt(mean);
    const double a = -0.059 + 0.02483 * b;
    const double squeeze = 0.9277 - 3.6224 / (b - 2.0);
    const double inverseAlpha = 1.1239 + 1.1328 / (b - 3.4);
    for (;;) {
        const double u = random.next() - 0.5, v = random.next();
        const double us = 0.5 - std::abs(u);
        const double k = std::floor((2.0 * a / us + b) * u + mean + 0.43);
        if (us >= 0.07 && v <= squeeze) return k;
        if (k < 0.0 || (us < 0.013 && v > us)) continue;
        if (std::log(v * inverseAlpha / (a / (us * us) + b)) <= k * logMean - mean - logFactorial(k)) return k;
    }
}

/// Mean 0, standard deviation 1: the polar method (Marsaglia & Bray, SIAM Review 6, 1964).
inline double drawNormal(PixelRandom& random) {
    for (;;) {
        const double x = 2.0 * random.next() - 1.0, y = 2.0 * random.next() - 1.0;
        const double s = x * x + y * y;
        if (s < 1.0 && s > 0.0) return x * std::sqrt(-2.0 * std::log(s) / s);
    }
}

}  // namespace keyfall
