// Each light's share of a reading, with its interval. Not here: the lights' own laws.
#include <catch2/catch.hpp>

#include <tbb/global_control.h>

#include "../transport/set.h"
#include "renderer/meter/readings.h"

using namespace keyfall;
using namespace keyfall::test;

TEST_CASE("by_light shares add up to 100 %, and know how sure they are", "[law][meter]") {
    // Two spheres straight ahead: E = Phi/(4 pi d^2), so 1000 lm at 1 m and 300 lm at 2 m are 1000
    // and 75 parts. The other lamp alone: 100 %, sure; off: 0 %, sure.
    Set set;
    set.light(sphereLamp({0.0F, 0.0F, 1.0F}, 0.02F), 1000.0);
    set.light(sphereLamp({0.0F, 1.2F, 1.6F}, 0.02F), 300.0);
    const Probe probe = set.probe({0, 0, 0}, {0, 0, 1}, 0.05);
    PathCounters counters;
    const auto read = [&] {
        const Stage stage(set.scene);
        return readingOf(set.scene, probe, traceProbe(stage, probe, 64, 1, {}, counters));
    };
    const ProbeReading both = read();
    const double exact = 100.0 * 75.0 * 0.8 / (1000.0 + 75.0 * 0.8);
    const Measured& second = both.byLight.at(1).share_percent;
    CHECK(second.value == Approx(exact).epsilon(0.003));  // the disc of 5 cm takes off a little
    CHECK(second.interval95.half() > 0.0);
    CHECK(second.interval95.half() < 0.1);
    CHECK(both.byLight[0].share_percent.value + second.value == Approx(100.0).epsilon(1e-12));
    set.scene.lights[1].on = false;
    const ProbeReading one = read();
    CHECK(one.byLight[0].share_percent.value == Approx(100.0).epsilon(1e-12));
    CHECK(one.byLight[0].share_percent.interval95.half() < 1e-9);
    CHECK(one.byLight[1].share_percent.value == 0.0);
}

TEST_CASE("a stage for one thread holds every parallel loop of the program to it", "[meter]") {
    // The loops over pixels name no number of threads: the ray kernel's cap is the process's own.
    Set set;
    set.light(sphereLamp({0.0F, 0.0F, 1.0F}, 0.02F), 1000.0);
    const Stage stage(set.scene, 1);
    CHECK(tbb::global_control::active_value(tbb::global_control::max_allowed_parallelism) == 1);
}
