// Blur, diffraction and focus stacks against printed tables, closed forms and brute force. Not here:
// pictures (tests/meter/visible_test.cpp), depth of field's own tables (tests/scene/photo_lens.cpp).
#include <catch2/catch.hpp>
#include <cmath>

#include "scene/focus_stack.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

BlurLens blurLens(double focalLength_m, double aperture, double pupilRatio = 1.0) {
    return {focalLength_m, aperture, pupilRatio, 3e-5};
}

DepthOfField sharpOf(const BlurLens& lens, double focus_m) {
    return depthOfField(lens.focalLength_m, lens.aperture, focus_m, lens.circleOfConfusion_m);
}

}  // namespace

TEST_CASE("at the limits of depth of field the blur is the circle of confusion", "[law][sharp]") {
    // Limits computed from H = f^2/(N c) + f by hand, to their printed digits: 50 mm f/8 at 1 m 916.42 and
    // 1100.35 mm; 85 mm f/11 at 0.7 m 680.87 and 720.23 mm; 24 mm f/5.6 at 1.5 m 1048.58 and 2633.89 mm.
    struct Row { double f, n, s, near, far; };
    for (const Row& r : {Row{50, 8, 1000, 916.42, 1100.35}, Row{85, 11, 700, 680.87, 720.23}, Row{24, 5.6, 1500, 1048.58, 2633.89}}) {
        const BlurLens lens = blurLens(r.f * 1e-3, r.n);
        CHECK_THAT(defocusBlur_m(lens, r.s * 1e-3, r.near * 1e-3), WithinAbs(3e-5, 1e-8));
        CHECK_THAT(defocusBlur_m(lens, r.s * 1e-3, r.far * 1e-3), WithinAbs(3e-5, 1e-8));
        CHECK(defocusBlur_m(lens, r.s * 1e-3, r.s * 1e-3) == 0.0);
    }
}

TEST_CASE("products that fill 85 % of a portrait frame: depth of field at f/11", "[law][sharp]") {
    // Common practice, no source: 300, 200, 150, 80, 50 mm high, 36 x 24 mm, c = 0.03 mm: 72, 33, 20, 6.4,
    // 2.9 mm in all. Close up it is 2 N c (1 + m)/m^2.
    struct Row { double height, total, half; };
    for (const Row& r : {Row{300, 72, 0.5}, Row{200, 33, 0.5}, Row{150, 20, 0.5}, Row{80, 6.4, 0.05}, Row{50, 2.9, 0.05}}) {
        const double m = 0.85 * 36.0 / r.height;
        const DepthOfField d = sharpOf(blurLens(0.085, 8.0 * std::sqrt(2.0)), 0.085 * (1.0 + 1.0 / m));
        CHECK_THAT((d.far_m - d.near_m) * 1e3, WithinAbs(r.total, r.half + 0.005 * r.total));
    }
}

TEST_CASE("Airy disc: 21.47 um at f/16, 32.2 um at m = 0.5, 550 nm", "[law][sharp]") {
    // 2.44 lambda N_eff, printed digits; the first zero of J1 (Abramowitz & Stegun, table 9.5).
    CHECK_THAT(airyOnSensor_m(blurLens(0.1, 16), 1e9) * 1e6, WithinAbs(21.47, 0.005));
    CHECK_THAT(airyOnSensor_m(blurLens(0.1, 16), 0.3) * 1e6, WithinAbs(32.2, 0.05));
    // N (1 + m/p): a pupil ratio of 0.5 doubles the extension's part.
    CHECK_THAT(airyOnSensor_m(blurLens(0.1, 16, 0.5), 0.3) * 1e6, WithinAbs(2.0 * 21.47, 0.01));
}

TEST_CASE("the f-number of least blur, against brute force", "[law][sharp]") {
    struct Row { double f, p, focus, near, far; };
    for (const Row& r : {Row{0.085, 1.0, 0.8, 0.75, 0.86}, Row{0.06, 0.7, 0.25, 0.25, 0.29}, Row{0.1, 1.3, 0.33, 0.3, 0.33}}) {
        const DepthRange depth{r.near, r.far};
        const auto least = leastBlur(blurLens(r.f, 1.0, r.p), depth, r.focus);
        REQUIRE(least);
        double best_m = HUGE_VAL;
        double at = 0.0;
        for (double n = 0.5; n < 200.0; n *= 1.0005)
            if (const double blur_m = totalBlur_m(blurLens(r.f, n, r.p), depth, r.focus); blur_m < best_m) best_m = blur_m, at = n;
        CHECK_THAT(least->aperture, WithinRel(at, 1e-3));
        CHECK_THAT(least->blur_m, WithinRel(best_m, 1e-6));
        // From the middle focus both ends are alike, and less blurred than the worse end from elsewhere.
        const BlurLens lens = blurLens(r.f, least->aperture, r.p);
        const double middle_m = middleFocus_m(depth);
        CHECK_THAT(defocusBlur_m(lens, middle_m, r.near), WithinRel(defocusBlur_m(lens, middle_m, r.far), 1e-9));
        CHECK(leastBlur(lens, depth, middle_m)->blur_m < least->blur_m);
    }
    CHECK_FALSE(leastBlur(blurLens(0.085, 8), {0.8, 0.8}, 0.8));
    // Within f-numbers that the least is beyond, the nearer end of them; of no depth the widest.
    const BlurLens lens = blurLens(0.085, 8);
    const double best = leastBlur(lens, {0.75, 0.86}, 0.8)->aperture;
    CHECK(leastBlurWithin(lens, {0.75, 0.86}, 0.8, {2.8, 0.5 * best}).aperture == 0.5 * best);
    CHECK(leastBlurWithin(lens, {0.75, 0.86}, 0.8, {2.0 * best, 128.0}).aperture == 2.0 * best);
    CHECK_THAT(leastBlurWithin(lens, {0.75, 0.86}, 0.8, {2.8, 128.0}).blur_m, WithinRel(leastBlur(lens, {0.75, 0.86}, 0.8)->blur_m, 1e-12));
    CHECK(leastBlurWithin(lens, {0.8, 0.8}, 0.8, {2.8, 22.0}).aperture == 2.8);
}

TEST_CASE("focus stacks: the printed example, and one frame where one is enough", "[law][sharp]") {
    // m = 0.5, f/11, c = 0.03 mm: 2 N c (1 + m)/m^2 = 3.96 mm; 60 mm with 20 % overlap are 19 frames
    // (ceil((depth - DoF)/(0.8 DoF)) + 1, derived: each frame after the first adds 0.8 DoF).
    CHECK(stackFrames(0.060, 2.0 * 11.0 * 3e-5 * 1.5 / 0.25) == 19);
    CHECK(stackFrames(0.060, 0.060) == 1);
    CHECK(stackFrames(0.060, 0.0599) == 2);
    // A long lens hardly changes its depth of field over 60 mm: the plan by its own limits agrees.
    const auto longLens = focusStack(blurLens(2.0, 11), {5.97, 6.03});
    REQUIRE(longLens);
    CHECK(longLens->focus_m.size() == 19);
    // 85 mm at f/11: from 116.1 to 125.9 cm one frame, focused at 2Dd/(D + d) = 120.8 cm.
    const auto one = focusStack(blurLens(0.085, 8.0 * std::sqrt(2.0)), {1.161, 1.259});
    REQUIRE(one);
    REQUIRE(one->focus_m.size() == 1);
    CHECK_THAT(one->focus_m[0], WithinAbs(1.208, 5e-4));
    // A printed example of the focus between two depths: 10.2 and 9.8 ft, 10 ft (to its digits).
    CHECK_THAT(middleFocus_m({9.8, 10.2}), WithinAbs(10.0, 0.005));
}

TEST_CASE("focus stacks cover all of the depth with the fewest frames, each overlapping alike", "[law][sharp]") {
    const BlurLens lens = blurLens(0.06, 8);
    const DepthRange depth{0.22, 0.31};
    const auto stack = focusStack(lens, depth);
    REQUIRE(stack);
    const std::size_t frames = stack->focus_m.size();
    REQUIRE(frames > 5);
    CHECK(stack->overlap >= 0.2);
    CHECK_THAT(sharpOf(lens, stack->focus_m.front()).near_m, WithinAbs(depth.nearest_m, 1e-9));
    CHECK_THAT(sharpOf(lens, stack->focus_m.back()).far_m, WithinAbs(depth.farthest_m, 1e-9));
    for (std::size_t i = 1; i < frames; ++i) {
        const DepthOfField before = sharpOf(lens, stack->focus_m[i - 1]);
        const DepthOfField here = sharpOf(lens, stack->focus_m[i]);
        CHECK_THAT((before.far_m - here.near_m) / (before.far_m - before.near_m), WithinAbs(stack->overlap, 1e-6));
    }
    // One frame fewer, with 20 % overlap, does not reach the end: walk it by brute force.
    double near_m = depth.nearest_m;
    for (std::size_t i = 0; i + 1 < frames; ++i) {
        double focus_m = near_m;
        while (sharpOf(lens, focus_m).near_m < near_m) focus_m += 1e-6;
        const DepthOfField d = sharpOf(lens, focus_m);
        CHECK(d.far_m < depth.farthest_m);
        near_m = d.far_m - 0.2 * (d.far_m - d.near_m);
    }
    // Beyond the hyperfocal distance one frame holds the rest; nearer than the focal length none does.
    const auto far = focusStack(blurLens(0.024, 16), {0.3, 500.0});
    REQUIRE(far);
    CHECK(sharpOf(blurLens(0.024, 16), far->focus_m.back()).far_m >= 500.0);
    CHECK_FALSE(focusStack(lens, {0.05, 0.2}));
}
