// A figure made from many readings at once, with its interval. Not here: figures of one or two
// readings (combine, renderer/film/reading.h).
#pragma once

#include "renderer/film/reading.h"
#include "renderer/meter/readings.h"

namespace keyfall {

/// Which replicate is left out of all readings alike; none: all count.
inline constexpr int kNoneLeftOut = -1;

inline double meanWithout(const Reading& reading, int leftOut) {
    return leftOut == kNoneLeftOut ? reading.mean() : detail::leaveOneOut(reading, leftOut);
}

/// `f(leftOut)` makes the figure without one replicate. Its spread is the jackknife's (reading.h).
template <class F>
Measured jackknife(F f) {
    const double value = f(kNoneLeftOut);
    Reading pseudo;
    for (int i = 0; i < kReplicates; ++i)
        pseudo.value[static_cast<std::size_t>(i)] = kReplicates * value - (kReplicates - 1) * f(i);
    const double half = pseudo.interval95().half();
    return {value, {value - half, value + half}};
}

}  // namespace keyfall
