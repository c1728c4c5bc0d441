// Shake, flash duration, moving subjects, video: arithmetic of time. Rows are common practice, no
// source, unless said. Not here: the report that prints them (tests/laws/camera_law_test.cpp).
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "scene/motion.h"
#include "scene/photo.h"

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

namespace {

const glm::dvec2 kFullFrame_m{0.036, 0.024};

/// Largest and smallest mean of 1 + cos over `periods` pulses, whatever the start, in stops.
double swing_stops(double periods) {
    double high = 0.0, low = 2.0;
    for (int start = 0; start < 360; ++start) {
        constexpr int kSteps = 4000;
        double sum = 0.0;
        for (int i = 0; i < kSteps; ++i)
            sum += 1.0 + std::cos(2.0 * std::numbers::pi * (start / 360.0 + periods * (i + 0.5) / kSteps));
        high = std::max(high, sum / kSteps);
        low = std::min(low, sum / kSteps);
    }
    return std::log2(high / low);
}

}  // namespace

TEST_CASE("by hand: one over the focal length in mm, 1/60 s at the slowest", "[motion][law]") {
    CHECK_THAT(handheldLimit_s(0.200, kFullFrame_m), WithinRel(1.0 / 200, 1e-12));
    CHECK_THAT(handheldLimit_s(0.085, kFullFrame_m), WithinRel(1.0 / 85, 1e-12));
    CHECK_THAT(handheldLimit_s(0.024, kFullFrame_m), WithinRel(1.0 / 60, 1e-12));
    // A sensor of half the diagonal sees as twice the focal length does; portrait is no other lens.
    CHECK_THAT(handheldLimit_s(0.085, {0.018, 0.012}), WithinRel(1.0 / 170, 1e-12));
    CHECK_THAT(handheldLimit_s(0.085, {0.012, 0.018}), WithinRel(1.0 / 170, 1e-12));
}

TEST_CASE("sync: a slit that passes t of the sync time lights t/t_sync of the frame", "[motion][law]") {
    // Derived: curtains that run for t_sync, t apart, leave t/t_sync of the frame open at any moment.
    CHECK_THAT(flashCutShare(1.0 / 250, 1.0 / 200), WithinAbs(0.2, 1e-12));
    CHECK_THAT(flashCutShare(1.0 / 1000, 1.0 / 200), WithinAbs(0.8, 1e-12));
    CHECK(flashCutShare(1.0 / 200, 1.0 / 200) == 0.0);
    CHECK(flashCutShare(1.0, 1.0 / 200) == 0.0);
    Camera camera;
    CHECK(flashCutText(camera).empty());
    camera.flashSync_s = engravedShutter(1.0 / 200).exact;
    camera.shutter_s = engravedShutter(1.0 / 500);  // four thirds of a stop faster: 1 - 2^(-4/3) = 60 %
    CHECK_THAT(flashCutText(camera), Catch::Matchers::Contains("1/500 s") && Catch::Matchers::Contains("60 % of the frame, at the bottom") &&
                                         Catch::Matchers::Contains("Set 1/200 s or slower"));
    camera.flashSync_s = engravedShutter(1.0 / 180).exact;  // on no dial
    CHECK_THAT(flashCutText(camera), Catch::Matchers::Contains("Set 1/180 s or slower"));
    camera.flashSync_s = engravedShutter(1.0 / 200).exact;
    camera.shutter_s = engravedShutter(1.0 / 200);
    CHECK(flashCutText(camera).empty());
}

TEST_CASE("flash duration: even steps of the logarithm between full and lowest power", "[motion][law]") {
    Light light;
    CHECK_FALSE(flashDuration_s(light));
    light.t05_s = 1.0 / 1200;
    light.power_stops = -4.0;
    CHECK(flashDuration_s(light) == 1.0 / 1200);  // nothing is known of other powers
    light.t05Lowest_s = 1.0 / 10000;
    light.lowestPower_stops = -8.0;
    CHECK_THAT(flashDuration_s(light).value(), WithinRel(std::sqrt(1.0 / 1200 / 10000), 1e-12));
    light.power_stops = 0.0;
    CHECK_THAT(flashDuration_s(light).value(), WithinRel(1.0 / 1200, 1e-12));
    for (const double power : {-8.0, -9.0}) {
        light.power_stops = power;
        CHECK_THAT(flashDuration_s(light).value(), WithinRel(1e-4, 1e-12));
    }
}

TEST_CASE("a moving subject smears by magnification times way", "[motion][law]") {
    // 10 cm/s, 85 mm focused at 116.1 cm (m = 0.079), 1/125 s: 0.8 mm of way, 63 um on the sensor.
    const double m = magnification(0.085, 1.161);
    CHECK_THAT(imageBlur_m(0.10, m, 1.0 / 125), WithinRel(0.085 / (1.161 - 0.085) * 0.0008, 1e-12));
    CHECK_THAT(imageBlur_m(0.10, m, 1.0 / 125) * 1e6, WithinAbs(63.2, 0.05));
}

TEST_CASE("video: 180 degrees at 25 frames is 1/50 s", "[motion][law]") {
    CHECK_THAT(videoExposure_s({25, 180, 50}), WithinRel(1.0 / 50, 1e-12));
    CHECK_THAT(videoExposure_s({24, 172.8, 50}), WithinRel(1.0 / 50, 1e-12));
    CHECK_THAT(videoExposure_s({50, 90, 50}), WithinRel(1.0 / 200, 1e-12));
}

TEST_CASE("video: safe shutter angles under 50 and 60 Hz mains", "[motion][law]") {
    // Angles that film crews set, common practice; whole pulses of twice the mains, derived.
    const struct {
        Video video;
        bool safe;
        double angle_deg;
    } rows[] = {{{24, 180, 50}, false, 172.8}, {{24, 172.8, 50}, true, 172.8}, {{25, 180, 50}, true, 180.0},
                {{30, 180, 50}, false, 216.0}, {{50, 180, 50}, true, 180.0},   {{60, 180, 50}, false, 216.0},
                {{24, 180, 60}, false, 144.0}, {{25, 180, 60}, false, 150.0},  {{30, 180, 60}, true, 180.0},
                {{60, 180, 60}, true, 180.0},  {{50, 180, 60}, false, 150.0},  {{24, 144, 60}, true, 144.0}};
    for (const auto& [video, safe, angle_deg] : rows) {
        INFO(video.fps << " fps, " << video.shutterAngle_deg << " degrees, " << video.mains_Hz << " Hz");
        const Flicker f = flickerOf(video);
        CHECK(f.safe == safe);
        CHECK_THAT(f.safeAngle_deg.value(), WithinRel(angle_deg, 1e-9));
        CHECK(flickerOf({video.fps, angle_deg, video.mains_Hz}).safe);
    }
    CHECK_FALSE(flickerOf({240, 360, 50}).safeAngle_deg);  // 1/240 s is no whole pulse of 1/100 s
    CHECK_FALSE(flickerOf({240, 360, 50}).safe);
    CHECK_FALSE(flickerOf({25, 1, 50}).safe);  // nearly no pulse is no whole number of them
}

TEST_CASE("video: what flickers at worst, against the pulse integrated from every start", "[motion][law]") {
    for (const Video& video : {Video{24, 180, 50}, Video{30, 180, 50}, Video{60, 90, 50}, Video{24, 180, 60}})
        CHECK_THAT(flickerOf(video).worst_stops, WithinRel(swing_stops(flickerOf(video).periods), 1e-3));
    CHECK_THAT(flickerOf({25, 180, 50}).worst_stops, WithinAbs(0.0, 1e-12));
}

TEST_CASE("video: speed, aperture or power give the still's picture value back", "[motion][law]") {
    // From 1/128 s to 1/50 s the same continuous light is log2(2.56) = 1.36 stops over.
    const double still_cdsm2 = 40.0 / 128, video_cdsm2 = 40.0 / 50;
    const double stops = std::log2(video_cdsm2 / still_cdsm2);
    const SameLook same = sameLook(stops, 100.0, 11.3137085);
    const double wanted = pictureValue(still_cdsm2, 100.0, 11.3137085);
    CHECK_THAT(pictureValue(video_cdsm2, same.iso, 11.3137085), WithinRel(wanted, 1e-12));
    CHECK_THAT(pictureValue(video_cdsm2, 100.0, same.aperture), WithinRel(wanted, 1e-12));
    CHECK_THAT(pictureValue(video_cdsm2 * std::exp2(same.power_stops), 100.0, 11.3137085), WithinRel(wanted, 1e-12));
    CHECK(nearestIso(same.iso).asWritten == 40.0);  // 39.06
}

TEST_CASE("the nearest speed of the third-stop series", "[motion]") {
    const double rows[][2] = {{100, 100}, {110, 100}, {114, 125}, {126, 125}, {630, 640}, {1270, 1250},
                              {13000, 12800}, {25000, 25600}, {51000, 51200}, {100000, 102400}, {12.6, 12}};
    for (const auto& [exact, engraved] : rows) {
        INFO(exact);
        CHECK(nearestIso(exact).asWritten == engraved);
        CHECK(std::abs(3.0 * std::log2(nearestIso(exact).exact / exact)) <= 0.51);
    }
}
