// What two threads of one process lose against two processes that share nothing.
#include <fmt/core.h>

#include <algorithm>

#include "bench.h"
#include "renderer/transport/layers.h"

namespace keyfall::bench {
namespace {

double renderWall_s(const Settings& settings, int threads, const WaitForOthers& wait) {
    const Scene scene = demoScene(settings.width_px);
    const Stage stage(scene, threads);
    Film film(scene.picture.width_px, scene.picture.height_px, layerInfos(scene));
    render(stage, film, fixedSamples(4, threads));  // pages touched, threads awake
    wait();
    Film fresh(scene.picture.width_px, scene.picture.height_px, layerInfos(scene));
    return render(stage, fresh, fixedSamples(16, threads)).seconds;
}

}  // namespace

void benchThreads(const Settings& settings) {
    const auto run = [&](int processes, int threads) {
        double slowest_s = 0.0;
        for (const auto& figures : inChildren(processes, [&](const WaitForOthers& wait) {
                 return std::vector<double>{renderWall_s(settings, threads, wait)};
             }))
            slowest_s = std::max(slowest_s, figures.front());
        return slowest_s;
    };
    // Two processes finish two pictures in `apart_s`, two threads one in `together_s`:
    //     ratio = (1 / together_s) / (2 / apart_s).
    std::vector<double> ratio, together, apart;
    for (int i = 0; i < settings.repeats; ++i) {
        together.push_back(run(1, 2));
        apart.push_back(run(2, 1));
        ratio.push_back(0.5 * apart.back() / together.back());
    }
    const Spread s = spreadOf(ratio);
    fmt::print("Two threads against two one-thread processes run together: demo, {} px, 16 samples, wall clock\n",
               settings.width_px);
    printGoal("pictures per second, ratio", text(s, 3), ">= 0.95", s.median >= 0.95);
    fmt::print("  two threads {} s, two processes {} s\n", text(spreadOf(together), 2),
               text(spreadOf(apart), 2));
}

}  // namespace keyfall::bench
