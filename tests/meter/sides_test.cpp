// Which side is the lit one: what is read decides. And whose light white balance "auto" takes.
#include <catch2/catch.hpp>

#include "../transport/set.h"
#include "renderer/meter/readings.h"
#include "scene/colour.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// One lamp on the right; the probe that faces it is called by `facing`, the other by `away`.
Set sides(const char* facing, const char* away, bool areDefault) {
    Set set;
    set.item(boxMesh({0.1F, 0.1F, 0.1F}), set.matt(0.5F), ItemKind::product);
    set.light(sphereLamp({1.0F, 0.05F, 0.5F}, 0.05F), 1000.0);
    set.item(sheet({-0.3F, 0.05F, 0.0F}, {1, 0, 0}, {0.5F, 0.5F}), set.matt(0.85F), ItemKind::board);
    Probe right = set.probe({0.06F, 0.05F, 0}, {1, 0, 0});
    right.name = facing;
    Probe left = set.probe({-0.06F, 0.05F, 0}, {-1, 0, 0});
    left.name = away;
    set.scene.probes = {left, right};
    set.scene.probesAreDefault = areDefault;
    return set;
}

std::vector<ProbeReading> read(const Set& set) {
    const Stage stage(set.scene);
    PathCounters counters;
    ReadingSettings s;
    s.points = 64;
    return takeReadings(stage, s, counters);
}

}  // namespace

TEST_CASE("of the default probes the brighter side is the lit one", "[meter]") {
    const Set wrong = sides("shadow-side", "lit-side", true);
    const auto readings = read(wrong);
    REQUIRE(readings.size() == 2);
    CHECK(readings[0].name == "lit-side");
    CHECK(readings[0].probe->at_m.x > 0.0F);
    CHECK(readings[0].exposure.mean() > readings[1].exposure.mean());
    CHECK(readings[1].name == "shadow-side");
    const auto ratios = ratiosOf(readings);
    REQUIRE(ratios.size() == 1);
    CHECK(ratios[0].lit == "lit-side");
    CHECK(ratios[0].stops.value > 0.0);
}

TEST_CASE("names that are right, or the user's own, stay", "[meter]") {
    const Set right = sides("lit-side", "shadow-side", true);
    CHECK(read(right)[1].name == "lit-side");
    CHECK(read(right)[1].probe->at_m.x > 0.0F);
    const Set own = sides("shadow-side", "lit-side", false);
    const auto readings = read(own);
    CHECK(readings[0].name == "lit-side");
    CHECK(readings[0].probe->at_m.x < 0.0F);
    CHECK(ratiosOf(readings).at(0).lit == "shadow-side");  // still the brighter of the two
}

TEST_CASE("automatic white is an incident reading's, never a spot's nor a missing one's", "[meter]") {
    Set set = sides("right", "left", false);
    set.scene.probes[0].kind = ProbeKind::spot;
    set.scene.probes[0].spotAngle_rad = 0.02;
    auto readings = read(set);
    REQUIRE(whiteProbe(readings) != nullptr);
    CHECK(whiteProbe(readings)->name == "right");
    CHECK(automaticWhite(readings).y == Approx(1.0));
    readings[1].aperture.reset();  // not enough light for a reading, though some was found
    CHECK(whiteProbe(readings) == nullptr);
    CHECK(automaticWhite(readings) == whiteD65());
}
