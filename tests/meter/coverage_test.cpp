// Do readings know how sure they are? The 95 % interval against the truth, over 1000 seeds.
#include <atomic>
#include <catch2/catch.hpp>

#include "../transport/set.h"
#include "renderer/film/parallel.h"
#include "renderer/meter/readings.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// A product, a card, a table and a small lamp: a probe that sees the lamp, one that does not, a
/// spot reading in the shadow.
Set meteredSet() {
    Set set;
    set.item(sheet({0, 0, 0}, {0, 1, 0}, {1.2F, 0.8F}), set.matt(0.5F), ItemKind::table);
    set.item(boxMesh({0.08F, 0.14F, 0.08F}), set.matt(0.5F), ItemKind::product);
    Item& card = set.item(sheet({-0.25F, 0.1F, 0}, {1, 0, 0}, {0.3F, 0.4F}), set.matt(0.85F), ItemKind::board);
    card.at_m = {-0.25F, 0.1F, 0};
    card.frame = frameAround({1, 0, 0});
    card.size_m = {0.3F, 0.4F};
    set.light(panelLamp({0.7F, 0.5F, 0.4F}, {-0.7F, -0.45F, -0.4F}, 0.3F, 0.3F), 1000.0);
    set.scene.camera.lens_m = {0, 0.3F, 1.0F};
    Probe lit = set.probe({0.046F, 0.08F, 0.01F}, {1, 0, 0}, 0.01);
    lit.name = "lit-side";
    Probe shade = set.probe({-0.046F, 0.08F, 0.01F}, {-1, 0, 0}, 0.01);  // lit by the card and table
    shade.name = "shadow-side";
    Probe spot = set.probe({-0.12F, 0.0F, -0.05F}, {0, 1, 0});
    spot.kind = ProbeKind::spot;
    spot.spotAngle_rad = 0.01745;
    set.scene.probes = {lit, shade, spot};
    return set;
}

constexpr std::uint32_t kSeeds = 1000;

/// Counts how often each probe's interval holds the truth; last: the contrast of the first two.
/// Seeds go side by side, a thread each: a loop within each short reading would mostly wait.
template <class Take>
std::array<int, 4> covered(const std::array<double, 4>& truth, const Take& take) {
    std::array<std::atomic<int>, 4> hits{};
    parallelFor(kSeeds, [&](std::uint32_t before) {
        const std::uint32_t seed = before + 1;
        std::array<ProbeReading, 3> r;
        for (std::uint32_t p = 0; p < 3; ++p) {
            r[p] = take(p, seed);
            const Interval i = r[p].exposure.interval95();
            hits[p] += i.low <= truth[p] && truth[p] <= i.high;
        }
        const Interval i = stopsBetween(r[0].exposure, r[1].exposure)->interval95;
        hits[3] += i.low <= truth[3] && truth[3] <= i.high;
    });
    return {hits[0], hits[1], hits[2], hits[3]};
}

void report(const std::array<int, 4>& hits) {
    const char* names[] = {"incident", "bounce", "spot", "contrast"};
    for (std::size_t i = 0; i < hits.size(); ++i) {
        const double share = 100.0 * hits[i] / kSeeds;
        INFO(names[i] << " " << share << " %");
        CHECK(share >= 93.0);
        CHECK(share <= 97.0);
    }
}

std::array<double, 4> truthOf(const Set& set, const Stage& stage) {
    std::array<double, 4> truth{};
    RunSettings run;
    run.seed = 987654;
    PathCounters counters;
    for (std::uint32_t p = 0; p < 3; ++p)
        truth[p] = readingOf(set.scene, set.scene.probes[p],
                             traceProbe(stage, set.scene.probes[p], 1U << 16U, 900 + p, run, counters))
                       .exposure.mean();
    truth[3] = std::log2(truth[0] / truth[1]);
    return truth;
}

}  // namespace

TEST_CASE("the 95 % interval covers the truth in 93-97 % of 1000 seeds, at a fixed count", "[law][meter][long]") {
    // Student's t with 15 degrees of freedom: 95 % by construction if the replicates are honest.
    // Truth: a million points with another seed.
    const Set set = meteredSet();
    const Stage stage(set.scene);
    report(covered(truthOf(set, stage), [&](std::uint32_t p, std::uint32_t seed) {
        RunSettings run;
        run.seed = seed;
        run.threads = 1;
        PathCounters counters;
        return readingOf(set.scene, set.scene.probes[p],
                         traceProbe(stage, set.scene.probes[p], 64, p, run, counters));
    }));
}

TEST_CASE("the same under the stop rule, at the target of a draft", "[law][meter][long]") {
    const Set set = meteredSet();
    const Stage stage(set.scene);
    const std::vector<LayerMix> mix = mixAsSet(set.scene, set.scene.camera.shutter_s.exact);
    report(covered(truthOf(set, stage), [&](std::uint32_t p, std::uint32_t seed) {
        ReadingSettings settings;
        settings.target_stops = 0.05;  // a preview's 0.02 asks for six times the paths
        settings.run.seed = seed;
        settings.run.threads = 1;
        PathCounters counters;
        return readingOf(set.scene, set.scene.probes[p],
                         readProbe(stage, set.scene.probes[p], mix, p, settings, counters));
    }));
}

TEST_CASE("what a board lifts is the set with it less the set with it black", "[law][meter]") {
    // Paths that touched the board are exactly those that its black twin loses (README, "Numbers").
    const Set set = meteredSet();
    Set black = set;
    black.scene.materials[black.scene.items[2].materials[0]].reflectance = Bands(0.0F);
    const Stage stage(set.scene);
    const Stage without(black.scene);
    PathCounters counters;
    RunSettings run;
    const Probe& shade = set.scene.probes[1];
    const ProbeReading with = readingOf(set.scene, shade, traceProbe(stage, shade, 2048, 1, run, counters));
    run.seed = 2;
    const ProbeReading dark = readingOf(black.scene, shade, traceProbe(without, shade, 2048, 1, run, counters));
    const double share = with.byBoard.at(0).share_percent.value / 100.0 * with.exposure.mean();
    const double difference = with.exposure.mean() - dark.exposure.mean();
    const double sigma = std::hypot(with.exposure.standardError(), dark.exposure.standardError());
    INFO("share " << share << ", difference " << difference << " +- " << sigma);
    CHECK(std::abs(share - difference) < 4.0 * sigma);
    CHECK(with.byBoard.at(0).lifts_stops->value ==
          Approx(std::log2(with.exposure.mean() / (with.exposure.mean() - share))).epsilon(1e-9));
}

TEST_CASE("by_light adds up to the total", "[meter]") {
    Set set = meteredSet();
    set.light(sphereLamp({-0.5F, 0.6F, 0.6F}, 0.05F), 300.0);
    set.scene.lights[1].kind = LightKind::flash;
    const Stage stage(set.scene);
    PathCounters counters;
    const Probe& lit = set.scene.probes[0];
    const ProbeReading r = readingOf(set.scene, lit, traceProbe(stage, lit, 64, 1, {}, counters));
    REQUIRE(r.byLight.size() == 2);
    CHECK(r.byLight[0].exposure.mean() + r.byLight[1].exposure.mean() == Approx(r.exposure.mean()).epsilon(1e-12));
    CHECK(r.byLight[1].continuous.mean() == 0.0);
    CHECK(r.continuous.mean() == Approx(r.byLight[0].continuous.mean()).epsilon(1e-12));
}

TEST_CASE("two equal lamps, each f/11, read f/16 together", "[law][meter]") {
    // Common practice, no source; and linearity of light: one stop more.
    Set set;
    set.light(sphereLamp({0.5F, 0.0F, 1.0F}, 0.03F), 1000.0);
    const Probe probe = set.probe({0, 0, 0}, {0, 0, 1});
    const Stage one(set.scene);
    const double single = illuminance_lx(one, probe, 64).mean();
    Set two = set;
    two.light(sphereLamp({-0.5F, 0.0F, 1.0F}, 0.03F), 1000.0);
    const Stage both(two.scene);
    CHECK(std::log2(illuminance_lx(both, probe, 64).mean() / single) == Approx(1.0).margin(1e-4));
}

TEST_CASE("by_light gives each lamp its own light", "[law][meter]") {
    // E = I cos/d^2, exact for spheres: 1000 lm at 1 m, 300 lm at 2 m, both straight ahead of the
    // probe or nearly (cos from the geometry).
    Set set;
    set.light(sphereLamp({0.0F, 0.0F, 1.0F}, 0.02F), 1000.0);
    set.light(sphereLamp({1.0F, 0.0F, 2.0F}, 0.02F), 300.0);
    const Stage stage(set.scene);
    const Probe probe = set.probe({0, 0, 0}, {0, 0, 1});
    PathCounters counters;
    const ProbeReading r = readingOf(set.scene, probe, traceProbe(stage, probe, 64, 1, {}, counters));
    const double fourPi = 4.0 * std::acos(-1.0);
    CHECK(r.byLight.at(0).continuous.mean() == Approx(1000.0 / fourPi).epsilon(1e-4));
    CHECK(r.byLight.at(1).continuous.mean() == Approx(300.0 / fourPi * 2.0 / std::pow(5.0, 1.5)).epsilon(1e-4));
}
