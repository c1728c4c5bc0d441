// What a random pair costs.
#include "renderer/optics/sampler.h"

#include <fmt/core.h>

#include "bench.h"

namespace keyfall::bench {
namespace {

constexpr std::uint32_t kPaths = 1U << 20U;
constexpr int kPairs = 16;

/// ns per pair in paths of 16 pairs; the sum goes to `sink` so that nothing is left out.
template <class Sampler>
double pair_ns(double& sink) {
    const double from_s = cpuSeconds();
    double sum = 0.0;
    for (std::uint32_t i = 0; i < kPaths; ++i) {
        Sampler sampler(1, i >> 4U, i & 15U);
        float path = 0.0F;  // sixteen terms: a float adds them without loss that shows
        for (int k = 0; k < kPairs; ++k) {
            const glm::vec2 u = sampler.next2D();
            path += u.x * u.y;
        }
        sum += static_cast<double>(path);
    }
    sink += sum;
    return (cpuSeconds() - from_s) * 1e9 / (static_cast<double>(kPaths) * kPairs);
}

}  // namespace

void benchSampler(const Settings& settings) {
    std::vector<double> sobol, independent;
    double sink = 0.0;
    for (int i = 0; i < settings.repeats; ++i) {
        sobol.push_back(pair_ns<PathSampler>(sink));
        independent.push_back(pair_ns<IndependentSampler>(sink));
    }
    fmt::print("Sampler: CPU time per pair, paths of {} pairs (mean product {:.4f})\n", kPairs,
               sink / (2.0 * settings.repeats * kPaths * kPairs));
    fmt::print("  scrambled Sobol {} ns, independent {} ns\n", text(spreadOf(sobol), 1),
               text(spreadOf(independent), 1));
}

}  // namespace keyfall::bench
