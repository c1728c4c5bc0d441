// How long the meter takes for all probes of the demo, without a picture.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bench.h"
#include "renderer/meter/readings.h"

namespace keyfall::bench {
namespace {

double halfWidth_stops(const Reading& reading) {
    const Measured m = measured(reading);
    return 0.5 * std::log2(m.interval95.high / m.interval95.low);
}

}  // namespace

void benchMeter(const Settings& settings) {
    const Scene scene = demoScene(settings.width_px);
    const Stage stage(scene);
    ReadingSettings wanted;
    wanted.target_stops = 0.05;
    std::vector<double> seconds;
    double worst_stops = 0.0;
    PathCounters counters;
    for (int i = 0; i < settings.repeats; ++i) {
        wanted.run.seed = static_cast<std::uint32_t>(1 + i);
        const double from_s = steadySeconds();
        const auto readings = takeReadings(stage, wanted, counters);
        seconds.push_back(steadySeconds() - from_s);
        for (const ProbeReading& r : readings)
            worst_stops = std::max(worst_stops, halfWidth_stops(r.exposure));
    }
    const Spread s = spreadOf(seconds);
    fmt::print("Meter: all {} probes of the demo, all cores, wall clock\n", scene.probes.size());
    printGoal("to +-0.05 stop", text(s, 2) + " s", "<= 3 s", s.median <= 3.0);
    printGoal("widest half interval of any seed", fmt::format("{:.3f} stop", worst_stops),
              "<= 0.05", worst_stops <= 0.05);
}

}  // namespace keyfall::bench
