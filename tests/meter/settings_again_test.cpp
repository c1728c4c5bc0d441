// The answers of `settings` metered again, with another seed, in twenty random sets. Not here: its arithmetic
// (settings_test.cpp).
#include <catch2/catch.hpp>
#include <numbers>
#include <random>

#include "../transport/set.h"
#include "renderer/meter/settings_rank.h"
#include "renderer/meter/settings_scene.h"
#include "scene/photo.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// Numbers in [from, to) that are the same with every standard library.
class Draw {
  public:
    explicit Draw(unsigned seed) : bits_(seed) {}
    double in(double from, double to) {
        return from + (to - from) * (static_cast<double>(bits_()) / 4294967296.0);
    }
    template <class T>
    T of(std::initializer_list<T> values) {
        return *(values.begin() + static_cast<std::ptrdiff_t>(in(0.0, static_cast<double>(values.size()))));
    }

  private:
    std::mt19937 bits_;
};

void randomCamera(Draw& draw, int number, Camera& c) {
    c.aperture = engravedAperture(draw.of({8.0, 11.0, 13.0, 16.0}));
    c.shutter_s = engravedShutter(draw.of({1.0 / 125, 1.0 / 60, 0.25, 1.0}));
    c.iso = engravedIso(draw.of({100.0, 125.0, 400.0}));
    c.flashSync_s = engravedShutter(1.0 / 200).exact;
    if (number % 4 == 3) c.shutter_s = engravedShutter(1.0 / 200);
    c.focalLength_m = 0.1;
    // Every fifth closer than m = 0.3.
    c.focusDistance_m = number % 5 == 0 ? draw.in(0.2, 0.42) : draw.in(0.8, 2.0);
    c.pupilRatio = draw.in(0.7, 1.3);
    c.calibration_stops = number % 3 == 0 ? draw.in(-0.3, 0.3) : 0.0;
    c.closeUpCompensated = number % 7 == 6;
}

void randomLamp(Draw& draw, bool flash, Set& set) {
    const double distance_m = draw.in(0.4, 1.2);
    const double angle = draw.in(-1.0, 1.0);
    const glm::dvec3 way(std::sin(angle), draw.in(0.1, 0.6), std::cos(angle));
    // f/8 to f/22 at full power, for a flash or within a quarter of a second.
    const double exposure_lxs = draw.in(160.0, 1280.0) * (flash ? 1.0 : 4.0);
    Light& l = set.light(sphereLamp(glm::vec3(glm::normalize(way) * distance_m), 0.05F),
                         exposure_lxs * 4.0 * std::numbers::pi * distance_m * distance_m);
    l.kind = flash ? LightKind::flash : LightKind::continuous;
    l.power_stops = -0.1 * std::floor(draw.in(0.0, 30.0));
    l.lowestPower_stops = draw.of({-7.0, -8.0});
    l.powerStep_stops = draw.of({0.1, 1.0 / 3.0, 0.1});
}

Set randomSet(int number) {
    Draw draw(static_cast<unsigned>(100 + number));
    Set set;
    randomCamera(draw, number, set.scene.camera);
    SensorResponse even;  // of what colour does not matter here
    for (FineSpectrum& channel : even) channel.value.fill(1.0);
    set.scene.camera.electronics.response = std::make_shared<const SensorResponse>(even);
    const int kinds = number % 4;  // flash, continuous, both, both at the sync limit
    if (kinds != 1) randomLamp(draw, true, set);
    if (kinds != 0) randomLamp(draw, false, set);
    if (number % 2 == 0) randomLamp(draw, kinds != 1, set);
    if (number % 6 == 5)
        set.item(sheet({-0.3F, 0.0F, 0.1F}, {1, 0, 0}, {0.4F, 0.4F}), set.matt(0.85F), ItemKind::board);
    Probe probe = set.probe({0, 0, 0}, {0, 0, 1});
    if (number % 8 == 4) probe.kind = ProbeKind::dome;
    set.scene.probes.push_back(probe);
    return set;
}

ProbeReading read(const Scene& scene, std::uint32_t seed) {
    const Stage stage(scene);
    ReadingSettings settings;
    settings.run.seed = seed;
    settings.points = 128;
    PathCounters counters;
    auto readings = takeReadings(stage, settings, counters);
    readings.at(0).probe = &scene.probes[0];
    return readings.at(0);
}

}  // namespace

TEST_CASE("each setting proposed for 20 random sets, metered again, is within 0.05 stop of the wish", "[settings]") {
    int proposed = 0;
    int nearest = 0;
    int closeUps = 0;
    for (int number = 0; number < 20; ++number) {
        const Set set = randomSet(number);
        const SettingsInput in = settingsInput(set.scene, read(set.scene, 1), glm::dvec3(1.0), {});
        const auto rows = rankedSettings(in, possibleSettings(in, rangesOf(in)), 8);
        INFO("set " << number);
        REQUIRE_FALSE(rows.empty());
        closeUps += magnification(in.camera.focalLength_m, in.camera.focusDistance_m) > 0.3 ? 1 : 0;
        for (const Setting& row : rows) {
            Set again = set;
            again.scene.camera.aperture = row.aperture;
            again.scene.camera.shutter_s = row.shutter_s;
            again.scene.camera.iso = row.iso;
            for (std::size_t l = 0; l < row.power_stops.size(); ++l)
                again.scene.lights[l].power_stops = row.power_stops[l];
            const Measured over = read(again.scene, 77).pictureStopsOver.value();
            // Both readings are sure to their 95 % intervals.
            const double sure_stops = over.interval95.half() + stopsOverOf(in, row).interval95.half();
            CHECK(std::abs(over.value - row.stopsOver) <= 0.01 + sure_stops);
            CHECK(std::abs(over.value) <= (isExact(row) ? 0.05 : 1.0 / 6.0) + 0.01 + sure_stops);
            (isExact(row) ? proposed : nearest) += 1;
        }
    }
    CHECK(proposed > 40);
    CHECK(nearest < proposed);
    CHECK(closeUps == 4);
}
