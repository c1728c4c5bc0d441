// `settings` as arithmetic: powers on their dials, limits, sync, costs, order, what a lamp lacks. Not here: its
// answers metered again (settings_again_test.cpp), the command (tests/program/settings_test.cpp).
#include <catch2/catch.hpp>
#include <numbers>

#include "renderer/meter/settings_costs.h"
#include "renderer/meter/settings_needs.h"
#include "renderer/meter/settings_rank.h"
#include "renderer/meter/settings_scene.h"
#include "scene/photo.h"
#include "scene/third_stops.h"

using namespace keyfall;
using Catch::Matchers::Contains;

namespace {

Reading evenly(double value) {
    Reading r;
    r.value.fill(value);
    return r;
}

/// A lamp that alone brings `atFull` lx*s (flash) or lx (continuous) to the probe at full power.
SettingsLight lamp(LightKind kind, double atFull, double power_stops = 0.0) {
    SettingsLight l;
    l.name = kind == LightKind::flash ? "flash" : "panel";
    l.kind = kind;
    l.atFull = evenly(atFull);
    l.power_stops = power_stops;
    l.lowest_stops = -8.0;
    l.step_stops = 0.1;
    l.fullFlux = 1000.0;
    l.distance_m = 0.8;
    return l;
}

SettingsLight ambient(double lx) {
    SettingsLight l = lamp(LightKind::continuous, lx);
    l.name = "ambient";
    l.moves = false;
    return l;
}

/// f/11, 1/125 s, ISO 100, 85 mm focused so far away that the close-up loss is nothing, 36 x 24 mm.
SettingsInput input(std::vector<SettingsLight> lights) {
    SettingsInput in;
    in.camera.aperture = engravedAperture(11);
    in.camera.flashSync_s = engravedShutter(1.0 / 200).exact;
    in.camera.closeUpCompensated = true;
    in.camera.electronics.readNoise_e = 3.0;
    in.greyAtIso100_e = 7660.0;
    in.lights = std::move(lights);
    return in;
}

std::vector<Setting> ranked(const SettingsInput& in, std::size_t rows = 8) {
    return rankedSettings(in, possibleSettings(in, rangesOf(in)), rows);
}

Setting camera(double aperture, double shutter_s, double iso) {
    Setting s;
    s.aperture = engravedAperture(aperture);
    s.shutter_s = engravedShutter(shutter_s);
    s.iso = engravedIso(iso);
    return s;
}

std::vector<double> written(const std::vector<Engraved>& values) {
    std::vector<double> numbers;
    for (const Engraved& e : values) numbers.push_back(e.asWritten);
    return numbers;
}

/// H = C N^2 / S of f/11 (11.314) at ISO 100: 320 lx*s (ISO 2720, C = 250).
constexpr double kF11_lxs = 320.0;

}  // namespace

TEST_CASE("third stops within limits are those engraved on lenses and dials", "[settings]") {
    // Series of ISO 517 and common dials; ends belong to the range.
    CHECK(written(thirdStopApertures({8.0, 16.0})) == std::vector<double>{8, 9, 10, 11, 13, 14, 16});
    CHECK(written(thirdStopIsos({100.0, 200.0})) == std::vector<double>{100, 125, 160, 200});
    CHECK(written(thirdStopShutters({1.0 / 8.0, 2.0})) ==
          std::vector<double>{1.0 / 8, 1.0 / 6, 1.0 / 5, 1.0 / 4, 0.3, 0.4, 0.5, 0.6, 0.8, 1, 1.3, 1.6, 2});
    CHECK(thirdStopApertures({11.5, 11.9}).empty());
    const std::vector<Engraved> all = thirdStopShutters({1e-9, 1e9});
    for (std::size_t i = 1; i < all.size(); ++i)
        CHECK(all[i].exact / all[i - 1].exact == Approx(std::cbrt(2.0)));
}

TEST_CASE("a power is put on the lamp's own dial and not under its lowest", "[settings]") {
    SettingsLight l = lamp(LightKind::flash, 1.0);
    CHECK(steppedPower_stops(l, -1.74) == Approx(-1.7));
    CHECK(steppedPower_stops(l, 0.4) == 0.0);
    CHECK(steppedPower_stops(l, -8.3) == Approx(-8.0));
    l.step_stops = 1.0;
    CHECK(steppedPower_stops(l, -1.74) == Approx(-2.0));
    l.lowest_stops = -2.6;  // the dial's last whole step above it is 1/4
    CHECK(steppedPower_stops(l, -2.6) == Approx(-2.0));
    l.step_stops.reset();  // set steplessly
    CHECK(steppedPower_stops(l, -1.74) == -1.74);
    CHECK(steppedPower_stops(l, 0.4) == 0.0);
    CHECK(steppedPower_stops(l, -2.9) == -2.6);
}

TEST_CASE("lamps move together until the first is at full or at its lowest", "[settings]") {
    SettingsInput in = input({lamp(LightKind::flash, 100, -1.0), lamp(LightKind::flash, 100, -3.0)});
    CHECK(moveRange(in).most == Approx(1.0));
    CHECK(moveRange(in).least == Approx(-5.0));
    CHECK(movedPowers(in, 0.7)[0] == Approx(-0.3));
    CHECK(movedPowers(in, 0.7)[1] == Approx(-2.3));  // the ratio stays
    in.lights[0].moves = false;
    CHECK(moveRange(in).most == Approx(3.0));
    CHECK(movedPowers(in, 0.7)[0] == -1.0);
}

TEST_CASE("flash and continuous light add up, and the time counts for one of them", "[settings]") {
    // 160 lx*s of flash and 2560 lx for 1/16 s are 320 lx*s: f/11 at ISO 100. Without the moving flash
    // 160 are left to find, with the flash at half: one stop more of it.
    SettingsInput in = input({lamp(LightKind::flash, 160.0), ambient(2560.0)});
    Setting s = camera(11, 1.0 / 15, 100);
    s.power_stops = {0.0, 0.0};
    CHECK(LightAtProbe(in).stopsOver(s) == Approx(0.0).margin(1e-9));
    in.lights[0].power_stops = -1.0;
    CHECK(LightAtProbe(in).moveNeeded_stops(s).value() == Approx(1.0));
    // At 1/6 s the ambient alone is more than all of it: no power does.
    CHECK_FALSE(LightAtProbe(in).moveNeeded_stops(camera(11, 1.0 / 6, 100)).has_value());
    // Twice the time is a stop of continuous light and nothing of a flash.
    SettingsInput one = input({lamp(LightKind::flash, 160.0)});
    Setting longer = camera(11, 1.0 / 8, 100);
    longer.power_stops = s.power_stops = {0.0};
    CHECK(LightAtProbe(one).stopsOver(longer) == LightAtProbe(one).stopsOver(s));
    one.lights[0].kind = LightKind::continuous;
    CHECK(LightAtProbe(one).stopsOver(longer) - LightAtProbe(one).stopsOver(s) == Approx(1.0));
}

TEST_CASE("dome, spot, close-up and calibration shift the wish as README says", "[settings]") {
    // C = 330 under a dome. A spot on 18 % grey: pi L S/(C N^2) = 0.18. m = 0.5: 2 log2(1.5) = 1.17 stops
    // (textbook: 2 1/4 times); pupil ratio 0.5: 2 log2(2) = 2.
    SettingsInput in = input({lamp(LightKind::flash, 330.0 * 1.28)});
    in.probe = ProbeKind::dome;
    CHECK(settingAsSet(in).stopsOver == Approx(0.0).margin(1e-9));
    CHECK(LightAtProbe(in).meterAperture(settingAsSet(in)) == Approx(std::exp2(3.5)));
    in.probe = ProbeKind::spot;
    in.lights[0].atFull = evenly(0.18 * 250.0 * 1.28 / std::numbers::pi);
    CHECK(settingAsSet(in).stopsOver == Approx(0.0).margin(1e-9));
    in.camera.closeUpCompensated = false;
    in.camera.focusDistance_m = 3.0 * in.camera.focalLength_m;
    CHECK(settingAsSet(in).stopsOver == Approx(-2.0 * std::log2(1.5)));
    in.camera.pupilRatio = 0.5;
    in.camera.calibration_stops = 0.25;
    CHECK(settingAsSet(in).stopsOver == Approx(-1.75));
    // K = 12.5 puts the meter's middle at pi K/C = 15.7 %: the spot shows log2(0.18/0.157) = 0.2 stop more.
    CHECK(2.0 * std::log2(LightAtProbe(in).meterAperture(settingAsSet(in)) / std::exp2(3.5)) ==
          Approx(std::log2(0.18 * 20.0 / std::numbers::pi)));
}

TEST_CASE("with a flash on no time is shorter than the sync speed; without one all are there", "[settings]") {
    SettingsInput in = input({lamp(LightKind::flash, 1000.0), ambient(200.0)});
    in.limits.shutter_s = glm::dvec2(1.0 / 4096, 1.0 / 64);
    for (const Engraved& t : rangesOf(in).shutter_s) CHECK(t.exact >= in.camera.flashSync_s - 1e-9);
    CHECK(written(rangesOf(in).shutter_s).front() == 1.0 / 200);
    in.lights[0].kind = LightKind::continuous;
    CHECK(written(rangesOf(in).shutter_s).front() == 1.0 / 4000);
}

TEST_CASE("limits may leave nothing; an odd number as set is a value, and so is a long sync time", "[settings]") {
    SettingsInput in = input({lamp(LightKind::flash, 1000.0)});
    in.limits.aperture = glm::dvec2(11.5, 11.9);
    CHECK(rangesOf(in).aperture.empty());
    in.limits.aperture.reset();
    in.limits.shutter_s = glm::dvec2(1.0 / 2048, 1.0 / 512);
    CHECK(rangesOf(in).shutter_s.empty());
    in.limits.shutter_s.reset();
    in.camera.flashSync_s = 60.0;
    CHECK(written(rangesOf(in).shutter_s) == std::vector<double>{60.0});
    in = input({lamp(LightKind::flash, 1000.0)});
    in.camera.iso = {130.0, 130.0};
    in.limits.iso = glm::dvec2(130.0, 140.0);
    CHECK(written(rangesOf(in).iso) == std::vector<double>{130.0});
}

TEST_CASE("costs: depth, stack, Airy disc, grain, flash duration by their formulas", "[settings]") {
    // The thin lens's blur-circle construction (any textbook; by hand): 50 mm f/8 at 1 m, c .03 mm: sharp
    // from 916.42 to 1100.35 mm. f/16 at m .5 is f/24: Airy disc 32.2 um at 550 nm.
    SettingsInput in = input({lamp(LightKind::flash, kF11_lxs)});
    in.camera.focalLength_m = 0.05;
    in.camera.focusDistance_m = 1.0;
    in.camera.circleOfConfusion_m = 0.00003;
    Setting s = camera(8, 1.0 / 125, 100);
    s.power_stops = {0.0};
    CHECK(costsOf(in, s).depth_m == Approx(1.10035 - 0.91642).margin(2e-5));
    CHECK(sharpDepthShare(in.camera, 8.0, 1.0, {0.91642, 0.91642 + 2.0 * (1.10035 - 0.91642)}) ==
          Approx(0.5).margin(1e-3));
    // At the far limit the defocus disc is the circle itself; the Airy disc adds as root of squares.
    in.subject_m = glm::dvec2(0.91643, 1.10035);
    CHECK(costsOf(in, s).frames == 1);
    CHECK(costsOf(in, s).sharpDepthShare.value() == Approx(1.0).margin(1e-3));
    CHECK(costsOf(in, s).worstBlur_m == Approx(std::hypot(0.00003, costsOf(in, s).airy_m)).epsilon(1e-3));
    in.subject_m = glm::dvec2(0.91643, 1.20);
    CHECK(costsOf(in, s).frames == 2);
    in.subject_m.reset();
    in.camera.focusDistance_m = 0.15;
    s.aperture = engravedAperture(16);
    CHECK(costsOf(in, s).airy_m == Approx(32.2e-6).epsilon(2e-3));
    // 7660 electrons over the root of 7660 + 9 are 87.5, 38.84 dB. Eight times the speed has an eighth:
    // 957.5, sqrt(8) worse but for the read noise.
    CHECK(snrOfGrey_dB(in, 100.0) == Approx(38.84).margin(0.01));
    CHECK(snrOfGrey_dB(in, 800.0) == Approx(29.77).margin(0.01));
    CHECK_FALSE(costsOf(in, s).drawing.time_s.has_value());
    SettingsLight& tube = in.lights[0];
    tube.t05_s = 1.0 / 1200;
    tube.t05Lowest_s = 1.0 / 10800;  // nine times shorter, eight stops down: three times at half way
    for (const glm::dvec2 powerAndTime : {glm::dvec2(0, 1.0 / 1200), {-4, 1.0 / 3600}, {-8, 1.0 / 10800}}) {
        s.power_stops = {powerAndTime.x};
        CHECK(costsOf(in, s).drawing.time_s.value() == Approx(powerAndTime.y));
    }
}

TEST_CASE("motion: a flash 2 stops over the rest draws, with a ghost; else the shutter", "[settings]") {
    // README, "Motion". A subject of 10 cm/s at m = 0.1 runs 10 mm/s over the sensor, 6 um pixels: 1667 a second.
    SettingsInput in = input({lamp(LightKind::flash, 160.0), ambient(160.0 * 8.0)});
    in.lights[0].t05_s = 0.001;
    in.motion_mps = 0.1;
    in.camera.focusDistance_m = 11.0 * in.camera.focalLength_m;
    Setting s = camera(11, 1.0 / 8, 100);
    s.power_stops = {0.0, 0.0};
    const SettingCosts even = costsOf(in, s);
    CHECK(even.ambient_stops.value() == Approx(0.0).margin(1e-9));
    CHECK_FALSE(even.drawing.flash);
    CHECK(even.lightTime_s == Approx(0.125));
    CHECK(even.motion_px.value() == Approx(0.125 * 0.01 / 6e-6));
    CHECK_FALSE(even.ghost_px.has_value());
    CHECK(isShaken(even.drawing, 1.0 / 85));
    s.shutter_s = engravedShutter(1.0 / 30);  // 2 stops under the flash
    const SettingCosts under = costsOf(in, s);
    CHECK(under.drawing.flash);
    CHECK(under.motion_px.value() == Approx(0.001 * 0.01 / 6e-6));
    CHECK(under.ghost_px.value() == Approx(0.01 / 32.0 / 6e-6));
    CHECK_FALSE(isShaken(under.drawing, 1.0 / 85));
    in.lights[0].t05_s.reset();
    CHECK_FALSE(costsOf(in, s).motion_px.has_value());  // unknown, not 0
}

TEST_CASE("what a lamp lacks: stops, distance, ISO, aperture, flux", "[settings]") {
    // A quarter of what f/11 needs at full power: 2 stops short. Inverse square: half the distance.
    // ISO 400 or f/5.6 alone would do; four times the flux would.
    SettingsInput in = input({lamp(LightKind::flash, kF11_lxs / 4.0, -1.0)});
    const auto needs = lampNeeds(in);
    REQUIRE(needs.size() == 1);
    CHECK(needs[0].short_stops == Approx(2.0));
    CHECK(needs[0].over_stops == 0.0);
    CHECK(needs[0].distance_m == Approx(0.4));
    CHECK(needs[0].leastFlux == Approx(4000.0));
    const OneChange change = oneChanges(in, rangesOf(in));
    CHECK(change.iso.value().iso.asWritten == 400);
    CHECK(change.aperture.value().aperture.asWritten == 5.6);
    CHECK_FALSE(change.shutter.has_value());
    CHECK(change.iso.value().power_stops[0] == 0.0);
    in.lights[0].kind = LightKind::continuous;
    in.lights[0].atFull = evenly(kF11_lxs / 4.0 * 128.0);
    CHECK(oneChanges(in, rangesOf(in)).shutter.value().shutter_s.asWritten == Approx(1.0 / 30));
    // Too strong: at 1/256 still 2 stops over.
    const auto over = lampNeeds(input({lamp(LightKind::flash, kF11_lxs * 1024.0, -3.0)}));
    CHECK(over.at(0).over_stops == Approx(2.0));
    CHECK(over.at(0).short_stops == 0.0);
    CHECK(over.at(0).distance_m == Approx(1.6));
}

TEST_CASE("two lamps short by their own stops", "[settings]") {
    // Both need 2 stops more; key has 1 left, fill 3.
    const auto needs = lampNeeds(
        input({lamp(LightKind::flash, kF11_lxs * 0.4, -1.0), lamp(LightKind::flash, kF11_lxs * 0.4, -3.0)}));
    const double move = std::log2(1.0 / (0.4 * 0.5 + 0.4 * 0.125));
    REQUIRE(needs.size() == 2);
    CHECK(needs[0].short_stops == Approx(move - 1.0));
    CHECK(needs[1].short_stops == 0.0);
}

TEST_CASE("limits that cannot be met: how far off, and the nearest", "[settings]") {
    SettingsInput in = input({lamp(LightKind::flash, kF11_lxs / 16.0)});  // f/2.8 at full
    in.limits.aperture = glm::dvec2(8.0, 16.0);
    in.limits.iso = glm::dvec2(100.0, 200.0 * 1.0);
    const SettingsRanges ranges = rangesOf(in);
    CHECK(possibleSettings(in, ranges).empty());
    CHECK(shortWithinLimits_stops(in, ranges) == Approx(2.0));  // f/8 and ISO 200 leave two stops
    const Setting nearest = nearestSetting(in, ranges);
    CHECK(nearest.aperture.asWritten == 8);
    CHECK(nearest.iso.asWritten == 200);
    CHECK(nearest.stopsOver == Approx(-2.0));
    CHECK_FALSE(changedOf(in, nearest).shutter);  // with a flash alone it would change nothing
    in.lights[0].atFull = evenly(kF11_lxs * 256.0 * 16.0);  // at 1/256 four stops over f/11, 3 over f/16
    CHECK(shortWithinLimits_stops(in, ranges) == Approx(-3.0));
}

TEST_CASE("every setting keeps limits, dials and the tolerance", "[settings]") {
    SettingsInput in = input({lamp(LightKind::flash, 2000.0, -2.0), ambient(400.0)});
    in.limits.aperture = glm::dvec2(engravedAperture(5.6).exact, 16.0);
    in.limits.iso = glm::dvec2(100.0, 800.0);
    in.lights[0].lowest_stops = -3.0;
    const auto all = possibleSettings(in, rangesOf(in));
    CHECK(all.size() > 20);
    for (const Setting& s : all) {
        CHECK(std::abs(s.stopsOver) <= 1.0 / 6.0 + 1e-9);
        CHECK(s.power_stops[0] <= 0.0);
        CHECK(s.power_stops[0] >= -3.0 - 1e-9);
        CHECK(std::abs(s.power_stops[0] * 10.0 - std::round(s.power_stops[0] * 10.0)) < 1e-6);
        CHECK(s.power_stops[1] == 0.0);
        CHECK(LightAtProbe(in).stopsOver(s) == Approx(s.stopsOver).margin(1e-12));
    }
}

TEST_CASE("what is preferred comes first", "[settings]") {
    using Prefer = Limits::Prefer;
    // A panel that gives f/11 at 1/4 s and ISO 100 at full power; a product 10 cm deep around the focus.
    SettingsInput in = input({lamp(LightKind::continuous, kF11_lxs * 4.0)});
    in.camera.shutter_s = engravedShutter(0.25);
    in.subject_m = glm::dvec2(0.95, 1.05);
    in.limits.aperture = glm::dvec2(4.0, 16.0);
    in.limits.iso = glm::dvec2(100.0, 6400.0);
    const auto first = [&](std::vector<Prefer> prefer) {
        in.limits.prefer = std::move(prefer);
        return ranked(in).at(0);
    };
    const Setting depth = first({Prefer::depth});
    CHECK(depth.aperture.asWritten == 16);
    CHECK(depth.iso.asWritten == 100);  // a second on a tripod costs nothing, grain does
    CHECK(first({Prefer::grain}).iso.asWritten == 100);
    in.camera.support = Support::hand;
    const Setting blur = first({Prefer::blur});
    CHECK(blur.costs.lightTime_s <= (1.0 / 85) * 1.001);
    CHECK(first({Prefer::blur, Prefer::grain}).costs.snr_dB >
          first({Prefer::blur, Prefer::depth}).costs.snr_dB + 3.0);
    // Ambient: flash with room light. Every stop of light from the flash keeps the room down.
    SettingsInput room = input({lamp(LightKind::flash, kF11_lxs * 4.0, -2.0), ambient(2000.0)});
    room.camera.shutter_s = engravedShutter(1.0 / 30);
    room.limits.prefer = {Prefer::ambient};
    const Setting dark = ranked(room).at(0);
    CHECK(dark.shutter_s.asWritten == Approx(1.0 / 200));
    CHECK(dark.costs.ambient_stops.value() < -5.0);
}

TEST_CASE("flash or continuous light keeps the lead where it is asked for, and what that does to their ratio is told", "[settings]") {
    // As set: half of each at 1/8 s. Both lamps move together, so time alone shifts the ratio, stop by stop.
    using Prefer = Limits::Prefer;
    SettingsInput in = input({lamp(LightKind::flash, 1280.0, -3.0), lamp(LightKind::continuous, 1280.0 * 8.0, -3.0)});
    in.camera.shutter_s = engravedShutter(1.0 / 8);
    in.lights[0].t05_s = 0.001;
    const auto first = [&](Prefer p) {
        in.limits.prefer = {p, Prefer::grain};
        return ranked(in).at(0);
    };
    const Setting flash = first(Prefer::flash), lamps = first(Prefer::continuous);
    CHECK(flash.costs.ambient_stops.value() <= -2.0);
    CHECK(lamps.costs.ambient_stops.value() >= 2.0);
    CHECK(flash.shutter_s.exact < 1.0 / 31.0);
    CHECK(lamps.shutter_s.exact > 0.49);
    for (const Setting& s : {flash, lamps}) {
        REQUIRE(s.costs.ratio.has_value());
        // Powers go in tenths: the two may end a tenth apart.
        CHECK(s.costs.ratio->stops == Approx(std::abs(std::log2(s.shutter_s.exact * 8.0))).margin(0.1 + 1e-9));
    }
    CHECK(flash.costs.ratio->more == 0);
    CHECK(lamps.costs.ratio->more == 1);
    CHECK(settingAsSet(in).costs.ratio->stops == Approx(0.0).margin(1e-12));
    in.lights.pop_back();
    CHECK_FALSE(first(Prefer::flash).costs.ratio.has_value());
}

TEST_CASE("no row is worse than another in everything, and each is noticeably better in something",
          "[settings]") {
    SettingsInput in = input({lamp(LightKind::flash, 3000.0, -2.0), ambient(2000.0)});
    in.subject_m = glm::dvec2(0.9, 1.1);
    in.motion_mps = 0.05;
    const auto rows = ranked(in, 30);
    REQUIRE(rows.size() >= 3);
    for (const Setting& a : rows) {
        const auto ma = measuresOf(in, a).raw;
        for (const Setting& b : rows) {
            if (&a == &b) continue;
            const auto mb = measuresOf(in, b).raw;
            bool better = false;
            for (std::size_t i = 0; i < kMeasures; ++i) better = better || ma[i] < mb[i] - 1e-6;
            INFO("f/" << a.aperture.asWritten << " " << a.shutter_s.asWritten << " ISO " << a.iso.asWritten
                      << " against f/" << b.aperture.asWritten << " " << b.shutter_s.asWritten << " ISO "
                      << b.iso.asWritten);
            CHECK(better);
        }
    }
    CHECK(ranked(in).size() <= 8);
    CHECK(ranked(in, 2).size() == 2);
    // Where grain is against time, one against the other: a panel has a row for each stop of speed.
    in.lights = {lamp(LightKind::continuous, kF11_lxs)};
    in.limits.aperture = glm::dvec2(16.0, 16.0);
    in.limits.iso = glm::dvec2(100.0, 3200.0);
    const auto speeds = ranked(in, 30);
    CHECK(speeds.size() == 6);
    for (const Setting& s : speeds) CHECK(s.stopsOver == Approx(0.0).margin(1e-6));
}

TEST_CASE("focus: where one frame holds the subject elsewhere, a row refocuses, and its exposure follows", "[settings]") {
    // 100 mm at 30 cm: m = 0.5. Of a depth from 27 to 27.2 cm, 2Dd/(D + d) = 27.0996 cm, where m = 0.5848:
    // 2 log2(1.5848/1.5) = 0.159 stop darker.
    SettingsInput in = input({lamp(LightKind::flash, kF11_lxs * 2.25)});
    in.camera.focalLength_m = 0.1;
    in.camera.focusDistance_m = 0.3;
    in.camera.closeUpCompensated = false;
    in.subject_m = glm::dvec2(0.27, 0.272);
    CHECK(settingAsSet(in).stopsOver == Approx(0.0).margin(1e-9));
    CHECK(settingAsSet(in).costs.sharpDepthShare == 0.0);
    in.limits.aperture = glm::dvec2(engravedAperture(22).exact);
    in.limits.iso = glm::dvec2(400.0);
    const Setting row = ranked(in).at(0);
    REQUIRE(row.refocus_m.has_value());
    CHECK(*row.refocus_m == Approx(2.0 * 0.27 * 0.272 / (0.27 + 0.272)));
    CHECK(row.costs.sharpDepthShare == 1.0);
    CHECK(changedOf(in, row).focus);
    CHECK(nearestSetting(in, rangesOf(in)).power_stops[0] == 0.0);  // as bright as it can be, and
    CHECK(nearestSetting(in, rangesOf(in)).stopsOver == Approx(-2.0 * std::log2((1.0 + 0.1 / (*row.refocus_m - 0.1)) / 1.5)));
    in.camera.focusDistance_m = *row.refocus_m;
    CHECK_FALSE(refocusFor_m(in, 22.6).has_value());
    in.subject_m = glm::dvec2(0.27, 0.4);  // for a stack: the focus is no cure
    CHECK_FALSE(refocusFor_m(in, 22.6).has_value());
}

TEST_CASE("ISO below the base has its price: the raw ends nearer, and no row above it is lower", "[settings]") {
    // At ISO 50 of a base ISO 100 grey gets twice the electrons and the converter ends where it did.
    SettingsInput in = input({lamp(LightKind::flash, kF11_lxs * 8.0, -3.0)});
    in.limits.iso = glm::dvec2(50.0, 400.0);
    Setting s = camera(11, 1.0 / 125, 100);
    s.power_stops = {-3.0};
    const double base_stops = costsOf(in, s).rawOverGrey_stops;
    CHECK(base_stops == Approx(std::log2(60000.0 / 7660.0)));
    s.iso = engravedIso(400);
    CHECK(costsOf(in, s).rawOverGrey_stops == Approx(base_stops));
    s.iso = engravedIso(50);
    CHECK(costsOf(in, s).rawOverGrey_stops == Approx(base_stops - 1.0));
    const auto rows = ranked(in, 30);
    REQUIRE_FALSE(rows.empty());
    for (const Setting& row : rows) CHECK(row.iso.exact >= 100.0 - 1e-9);
    // A base of 200 at ISO 25: grey itself is beyond the end.
    in.camera.electronics.baseIso = 200.0;
    in.converterAtBase_e = 30000.0;
    s.iso = engravedIso(25);
    CHECK(costsOf(in, s).rawOverGrey_stops == Approx(std::log2(30000.0 / (7660.0 * 100.0 / s.iso.exact))));
    CHECK(costsOf(in, s).rawOverGrey_stops < 0.0);
    // Where light is too much for the base ISO, less is offered.
    in = input({lamp(LightKind::flash, kF11_lxs * 2.0)});
    in.lights[0].moves = false;
    in.limits.aperture = glm::dvec2(engravedAperture(11).exact);
    in.limits.iso = glm::dvec2(50.0, 400.0);
    CHECK(ranked(in).at(0).iso.asWritten == 50);
}

TEST_CASE("a scene that is right as set stays as it is", "[settings]") {
    // Flash alone, nothing known of a subject's depth within the circle: nothing is gained by a change.
    SettingsInput in = input({lamp(LightKind::flash, kF11_lxs * 2.0, -1.0)});
    in.subject_m = glm::dvec2(0.999, 1.001);
    const Setting first = ranked(in).at(0);
    CHECK(changedOf(in, first).count() == 0);
    CHECK(first.stopsOver == Approx(0.0).margin(1e-9));
}
