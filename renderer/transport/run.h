// How a long calculation is steered: threads, seed, when to stop, whom to tell.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <optional>

namespace keyfall {

/// Told now and then, from one thread at a time. `share` 0..1 of the work planned.
struct Progress {
    double share = 0.0;
    double secondsLeft = 0.0;
};

struct RunSettings {
    std::uint32_t seed = 1;
    int threads = 0;                        ///< 0: all cores
    std::optional<double> time_s;           ///< stop after whole passes that fit
    std::function<double()> clock_s;        ///< seconds, any origin; empty: a steady clock
    std::function<void(const Progress&)> tell;
    const std::atomic<bool>* stop = nullptr;  ///< set by Ctrl-C
};

enum class Stopped { no, time, interrupted, noise };

/// Calls `work(i)` for i in [0, count) on the given number of threads, in any order; `work` must
/// not depend on it. Denormals are flushed in every worker, as in the caller.
void parallelTasks(int threads, std::size_t count, const std::function<void(std::size_t)>& work);

double steadySeconds();
/// By the run's own clock where it has one.
double now_s(const RunSettings& run);

}  // namespace keyfall
