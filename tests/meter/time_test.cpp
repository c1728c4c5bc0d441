// Readings within a time: whole passes, never nothing, and progress that says what is left.
#include <catch2/catch.hpp>

#include "../transport/set.h"
#include "renderer/meter/readings.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// Three probes that find their light by chance alone, through a closed pane: each wants the most
/// points.
Set slowSet() {
    Set set;
    Material glass;
    glass.base = Base::glass;
    glass.ior = 1.5F;
    Mesh pane = boxMesh({4.0F, 0.01F, 4.0F});
    for (glm::vec3& p : pane.position_m) p.y += 0.1F;
    set.item(pane, set.material(glass));
    set.light(sphereLamp({0, 0.5F, 0}, 0.1F), 1000.0);
    for (const float x_m : {0.0F, 0.05F, 0.1F}) set.scene.probes.push_back(set.probe({x_m, 0, 0}, {0, 1, 0}));
    return set;
}

/// A clock that a look moves on by a second: time without waiting.
std::function<double()> tickingClock() {
    return [t = 0.0]() mutable { return t += 1.0; };
}

ReadingSettings timed(std::optional<double> time_s) {
    ReadingSettings s;
    s.run.clock_s = tickingClock();
    s.run.time_s = time_s;
    s.mostPoints = 1024;
    return s;
}

}  // namespace

TEST_CASE("a time that is too short ends readings after whole passes", "[meter]") {
    const Set set = slowSet();
    const Stage stage(set.scene);
    PathCounters counters;
    const auto readings = takeReadings(stage, timed(24.0), counters);
    REQUIRE(readings.size() >= 2);
    const ProbeReading& first = readings[0];
    CHECK(first.timeIsUp);
    CHECK(first.points >= 64);
    CHECK(first.points < 1024);
    // What was kept is a reading of that many points, to the last bit: nothing half done in it.
    const ProbeTransfer whole = traceProbe(stage, set.scene.probes[0], first.points, 1, {}, counters);
    CHECK(first.exposure.value == readingOf(set.scene, set.scene.probes[0], whole).exposure.value);
}

TEST_CASE("a time that is over before it began still reads the first probe, and no other", "[meter]") {
    const Set set = slowSet();
    const Stage stage(set.scene);
    PathCounters counters;
    const auto readings = takeReadings(stage, timed(1e-3), counters);
    REQUIRE(readings.size() == 1);
    CHECK(readings[0].timeIsUp);
    CHECK(readings[0].points == 64);
}

TEST_CASE("with time enough a reading is the same as without a limit", "[meter]") {
    const Set set = slowSet();
    const Stage stage(set.scene);
    PathCounters counters;
    const auto limited = takeReadings(stage, timed(1e9), counters);
    const auto free = takeReadings(stage, timed({}), counters);
    REQUIRE(limited.size() == 3);
    for (std::size_t p = 0; p < 3; ++p) {
        CHECK_FALSE(limited[p].timeIsUp);
        CHECK(limited[p].exposure.value == free[p].exposure.value);
    }
}

TEST_CASE("readings tell how much is left", "[meter]") {
    const Set set = slowSet();
    const Stage stage(set.scene);
    std::vector<Progress> told;
    ReadingSettings s = timed({});
    s.run.tell = [&](const Progress& p) { told.push_back(p); };
    PathCounters counters;
    takeReadings(stage, s, counters);
    REQUIRE(told.size() > 3);
    for (std::size_t i = 0; i < told.size(); ++i) {
        if (i > 0) CHECK(told[i].share > told[i - 1].share);
        if (told[i].share < 0.999) CHECK(told[i].secondsLeft > 0.0);
    }
    CHECK(told.back().share == Approx(1.0));
    CHECK(told.back().secondsLeft == Approx(0.0).margin(1e-9));
}

TEST_CASE("a number of points that is asked for is taken, whatever the sureness", "[meter]") {
    const Set set = slowSet();
    const Stage stage(set.scene);
    ReadingSettings s;
    s.points = 16;
    PathCounters counters;
    for (const ProbeReading& r : takeReadings(stage, s, counters)) CHECK(r.points == 16);
}
