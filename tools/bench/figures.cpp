// Statistics of repeats, clocks and the demo scene. Not here: child processes (children.cpp).
#include <fmt/core.h>

#include <algorithm>
#include <ctime>
#include <stdexcept>

#include "bench.h"
#include "scene/read_scene.h"

namespace keyfall::bench {

Spread spreadOf(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t n = values.size();
    const double median = n % 2 == 1 ? values[n / 2] : 0.5 * (values[n / 2 - 1] + values[n / 2]);
    return {median, values.front(), values.back()};
}

std::string text(const Spread& s, int decimals) {
    return fmt::format("{:.{}f} ({:.{}f}..{:.{}f})", s.median, decimals, s.low, decimals, s.high,
                       decimals);
}

void printGoal(const std::string& name, const std::string& figure, const std::string& goal,
               bool met) {
    fmt::print("  {:34} {:28} goal {}, {}\n", name, figure, goal, met ? "met" : "NOT MET");
}

Scene demoScene(int width_px) {
    ReadOptions options;
    options.set = {fmt::format("picture.width={}", width_px)};
    ReadResult result =
        readScene(std::string(KEYFALL_ROOT) + "/assets/scenes/caddy_hard_key.toml", options);
    if (!result.scene) throw std::runtime_error(format(result.diagnostics.front()));
    return std::move(*result.scene);
}

RenderSettings fixedSamples(int samples, int threads, std::uint32_t seed) {
    RenderSettings s;
    s.samples = samples;
    s.run.threads = threads;
    s.run.seed = seed;
    return s;
}

double cpuSeconds() {
    timespec t{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

}  // namespace keyfall::bench
