// A measured number that knows how sure it is: 16 replicate values. Sums, ratios and stops are
// formed replicate by replicate; the interval comes last. Not here: what was measured (meter).
#pragma once

#include <array>
#include <cmath>

namespace keyfall {

inline constexpr int kReplicates = 16;         ///< independent scrambles of a reading
inline constexpr double kStudent95_df15 = 2.1314495455597742;  ///< two-sided 95 %, 15 degrees
                                               ///< (any table of Student's t; README, "Numbers")

struct Interval {
    double low = 0.0;
    double high = 0.0;
    double half() const { return 0.5 * (high - low); }
};

struct Reading {
    std::array<double, kReplicates> value{};

    double mean() const;
    /// Standard error of the mean over the replicates.
    double standardError() const;
    /// 95 % interval of the mean, Student's t with 15 degrees of freedom.
    Interval interval95() const;

    Reading& operator+=(const Reading& o);
    Reading& operator*=(double s);
};

/// f(mean of a...) with the interval carried by the jackknife over replicates: unbiased to first
/// order for ratios and logarithms, where applying f to each replicate alone would be biased by
/// the curvature of f.
template <class F>
Reading combine(F f, const Reading& a);
template <class F>
Reading combine(F f, const Reading& a, const Reading& b);

namespace detail {
/// Pseudo-values n*f(all) - (n-1)*f(all but i): their mean is the jackknife estimate, their spread
/// its standard error. Source: Tukey 1958; Efron & Tibshirani, An Introduction to the Bootstrap,
/// ch. 11 (from memory).
inline double leaveOneOut(const Reading& r, int i) {
    return (r.mean() * kReplicates - r.value[static_cast<std::size_t>(i)]) / (kReplicates - 1);
}
}  // namespace detail

template <class F>
Reading combine(F f, const Reading& a) {
    Reading out;
    const double all = f(a.mean());
    for (int i = 0; i < kReplicates; ++i)
        out.value[static_cast<std::size_t>(i)] =
            kReplicates * all - (kReplicates - 1) * f(detail::leaveOneOut(a, i));
    return out;
}
template <class F>
Reading combine(F f, const Reading& a, const Reading& b) {
    Reading out;
    const double all = f(a.mean(), b.mean());
    for (int i = 0; i < kReplicates; ++i)
        out.value[static_cast<std::size_t>(i)] =
            kReplicates * all -
            (kReplicates - 1) * f(detail::leaveOneOut(a, i), detail::leaveOneOut(b, i));
    return out;
}

}  // namespace keyfall
