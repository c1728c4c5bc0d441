// What single paths bring, over 16 scramblings: mean, its error, and the variance of one path. Not here: which
// paths (the tests).
#pragma once

#include <array>
#include <cstdint>

#include "near_field.h"
#include "renderer/film/parallel.h"
#include "renderer/optics/sampler.h"
#include "renderer/transport/path.h"

namespace keyfall::test {

/// Band 0 of all layers of one path.
struct OnePath {
    double sum = 0.0;
    void add(std::uint32_t, const Bands& transfer, const Arrival&) {
        sum += static_cast<double>(transfer[0]);
    }
    void addHighlight(std::uint32_t, const Bands&) {}
    void firstHit(const SurfacePoint&) {}
};

struct Scattered {
    Traced mean;
    double variance = 0.0;  ///< of one path
};

/// `trace(sampler, sink, counters)` traces one path; `paths` of each scrambling.
template <class Trace>
Scattered overPaths(std::uint32_t paths, std::uint32_t seed, const Trace& trace) {
    std::array<double, 16> sums{}, squares{};
    parallelTasks(2, sums.size(), [&](std::size_t k) {
        for (std::uint32_t i = 0; i < paths; ++i) {
            PathSampler sampler(seed, static_cast<std::uint32_t>(k), i);
            OnePath sink;
            PathCounters counters;
            trace(sampler, sink, counters);
            sums[k] += sink.sum / paths;
            squares[k] += sink.sum * sink.sum / paths;
        }
    });
    Scattered s{tracedFrom(sums)};
    for (const double q : squares) s.variance += q / 16.0;
    s.variance -= s.mean.value * s.mean.value;
    return s;
}

}  // namespace keyfall::test
