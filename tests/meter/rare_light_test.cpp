// Light that few paths find: a bulb behind glass, which no lamp sampling reaches. Does the meter
// keep looking, and does it say what it does not know?
#include <catch2/catch.hpp>

#include <atomic>

#include "../transport/set.h"
#include "renderer/meter/readings.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

constexpr double kFlux_lm = 1000.0;
constexpr float kDistance_m = 0.5F;
constexpr float kPane_m = 0.01F;

/// A probe at the origin that looks up at a bulb through a thick, clear, closed pane.
Set behindGlass(float bulb_m) {
    Set set;
    Material glass;
    glass.base = Base::glass;
    glass.ior = 1.5F;
    Mesh pane = boxMesh({4.0F, kPane_m, 4.0F});
    for (glm::vec3& p : pane.position_m) p.y += 0.1F;
    set.item(pane, set.material(glass));
    set.light(sphereLamp({0, kDistance_m, 0}, bulb_m), kFlux_lm);
    set.scene.probes = {set.probe({0, 0, 0}, {0, 1, 0})};
    return set;
}

ProbeTransfer readThrough(const Set& set, std::uint32_t seed, double shutter_s = 1.0 / 128) {
    const Stage stage(set.scene);
    ReadingSettings settings;
    settings.run.seed = seed;
    PathCounters counters;
    return readProbe(stage, set.scene.probes[0], mixAsSet(set.scene, shutter_s), 0, settings, counters);
}

}  // namespace

TEST_CASE("a pilot that finds no light while one is on asks for the most points", "[meter]") {
    // A bulb of 3 mm fills 9e-6 of the receptor's view: 512 pilot paths find it one time in 200.
    const ReadingSettings settings;
    const ProbeTransfer rare = readThrough(behindGlass(0.003F), 1);
    CHECK(rare.pointsPerReplicate == settings.mostPoints);
    Set off = behindGlass(0.003F);
    off.scene.lights[0].on = false;
    CHECK(readThrough(off, 1).pointsPerReplicate == settings.leastPoints);
}

TEST_CASE("one replicate without light is reason enough to look harder", "[meter]") {
    const ReadingSettings settings;
    Reading pilot;
    pilot.value.fill(1.0);
    CHECK(pointsFor(pilot, 32, settings) == settings.leastPoints);
    pilot.value[5] = 0.0;
    CHECK(pointsFor(pilot, 32, settings) == settings.mostPoints);
}

TEST_CASE("a 3 cm bulb behind a pane is read with every seed, as the closed form has it", "[law][meter]") {
    // E = Phi / (4 pi d^2) * T: a sphere lights like a point at its centre; a pane of two surfaces
    // with R = ((n-1)/(n+1))^2 passes T = (1-R)/(1+R), all reflections inside it added up (Born &
    // Wolf, 1.5, incoherent), and brings the bulb nearer by t (1 - 1/n) (paraxial).
    const double R = 0.04;
    const double d_m = static_cast<double>(kDistance_m - kPane_m) + static_cast<double>(kPane_m) / 1.5;
    const double exact_lx = kFlux_lm / (4.0 * std::acos(-1.0) * d_m * d_m) * (1.0 - R) / (1.0 + R);
    const Set set = behindGlass(0.03F);
    for (std::uint32_t seed = 1; seed <= 6; ++seed) {
        const ProbeReading r = readingOf(set.scene, set.scene.probes[0], readThrough(set, seed));
        INFO("seed " << seed << ": " << r.continuous.mean() << " +- " << r.continuous.standardError()
                     << " lx, closed form " << exact_lx);
        CHECK(r.aperture.has_value());
        CHECK_FALSE(r.missing);
        CHECK(std::abs(r.continuous.mean() - exact_lx) < 4.0 * r.continuous.standardError() + 0.002 * exact_lx);
    }
}

TEST_CASE("a reading is missing only where a light is on", "[meter]") {
    Set set = behindGlass(0.003F);
    PathCounters counters;
    const Stage stage(set.scene);
    const ProbeTransfer none = traceProbe(stage, set.scene.probes[0], 1, 0, {}, counters);
    const ProbeReading found = readingOf(set.scene, set.scene.probes[0], none);
    CHECK(found.missing);
    CHECK_FALSE(found.aperture.has_value());
    set.scene.lights[0].on = false;
    const ProbeReading off = readingOf(set.scene, set.scene.probes[0], none);
    CHECK_FALSE(off.missing);
    CHECK_FALSE(off.aperture.has_value());
}

TEST_CASE("interrupted, the meter keeps the readings it has finished", "[meter]") {
    Set set = behindGlass(0.5F);
    set.scene.probes = {set.probe({0, 0, 0}, {0, 1, 0}), set.probe({0.1F, 0, 0}, {0, 1, 0}),
                        set.probe({0.2F, 0, 0}, {0, 1, 0})};
    const Stage stage(set.scene);
    std::atomic<bool> stop{false};
    ReadingSettings settings;
    settings.run.stop = &stop;
    settings.run.tell = [&](const Progress& p) { stop = p.share > 0.5; };  // after the second
    PathCounters counters;
    const auto readings = takeReadings(stage, settings, counters);
    REQUIRE(readings.size() == 2);
    CHECK(readings[1].probe == &set.scene.probes[1]);
    CHECK(readings[1].aperture.has_value());
}
