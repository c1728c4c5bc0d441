// Close-up factor, depth of field, diffraction against print and a blur-circle construction.
// Not here: the camera that samples rays (renderer/transport).
#include <catch2/catch.hpp>
#include <cmath>

#include "scene/photo.h"

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

TEST_CASE("close-up: the exposure factor is (extension/focal length)^2", "[photo][law]") {
    // US Army photography manual: 18 in extension of a 12 in lens 2.25; image 8, object 12: 2.78.
    const auto factor = [](double m) { return std::pow(effectiveAperture(8.0, m, 1.0) / 8.0, 2); };
    CHECK_THAT(factor(18.0 / 12.0 - 1.0), WithinRel(2.25, 1e-12));
    CHECK_THAT(factor(8.0 / 12.0), WithinAbs(2.78, 5e-3));
    CHECK_THAT(std::log2(factor(1.0)), WithinRel(2.0, 1e-12));
    // Pupil ratio p: N(1 + m/p), handbook form.
    CHECK_THAT(effectiveAperture(8.0, 1.0, 2.0), WithinRel(12.0, 1e-12));
}

TEST_CASE("close-up: magnification is image distance over object distance", "[photo][law]") {
    // Thin lens 1/f = 1/s + 1/v, solved for v apart.
    for (const double s_m : {0.3, 0.7, 5.0}) {
        const double f_m = 0.1, v_m = 1.0 / (1.0 / f_m - 1.0 / s_m);
        CHECK_THAT(magnification(f_m, s_m), WithinRel(v_m / s_m, 1e-12));
    }
}

TEST_CASE("depth of field: printed rows, c = 0.03 mm", "[photo][law]") {
    // Thin lens, distances from the lens; five rows worked out by the blur-circle construction.
    const double rows[][5] = {{50, 8, 1000, 916.42, 1100.35},
                              {50, 2.8, 2000, 1877.02, 2140.23},
                              {100, 16, 400, 394.32, 405.84},
                              {24, 5.6, 1500, 1048.58, 2633.89},
                              {85, 11, 700, 680.87, 720.23}};
    for (const auto& [f, n, s, near, far] : rows) {
        const DepthOfField d = depthOfField(f / 1e3, n, s / 1e3, 3e-5);
        CHECK_THAT(d.near_m * 1e3, WithinAbs(near, 5e-3));
        CHECK_THAT(d.far_m * 1e3, WithinAbs(far, 5e-3));
    }
}

TEST_CASE("depth of field: at its limits the blur circle is c", "[photo][law]") {
    // Construction: an object at d is sharp at v_d; on a sensor at v its cone of diameter f/N has
    // the width (f/N)*|v_d - v|/v_d.
    const auto image = [](double f, double s) { return f * s / (s - f); };
    for (const double f : {0.024, 0.05, 0.1})
        for (const double n : {2.8, 11.0, 22.0})
            for (const double s : {0.25, 0.6}) {
                const double c = 3e-5;
                const DepthOfField depth = depthOfField(f, n, s, c);
                for (const double d : {depth.near_m, depth.far_m}) {
                    if (!std::isfinite(d)) continue;
                    const double v = image(f, s), vd = image(f, d);
                    CHECK_THAT(f / n * std::abs(vd - v) / vd, WithinRel(c, 1e-9));
                }
            }
}

TEST_CASE("depth of field: from the hyperfocal distance on it reaches infinity", "[photo][law]") {
    const double h_m = hyperfocal_m(0.05, 8.0, 3e-5);
    CHECK(std::isinf(depthOfField(0.05, 8.0, h_m, 3e-5).far_m));
    CHECK_THAT(depthOfField(0.05, 8.0, h_m, 3e-5).near_m, WithinRel(h_m / 2.0, 1e-12));
    CHECK(std::isfinite(depthOfField(0.05, 8.0, 0.99 * h_m, 3e-5).far_m));
}

TEST_CASE("depth of field: worked examples in print", "[photo][law]") {
    constexpr double kInch_m = 0.0254, kFoot_m = 0.3048;
    // US Navy manual: 6.1 in, f/2.8, c 0.002 in: hyperfocal 554 ft; at 10 ft 9.8 to 10.2 ft.
    CHECK_THAT(hyperfocal_m(6.1 * kInch_m, 2.8, 0.002 * kInch_m) / kFoot_m, WithinAbs(554, 0.5));
    const DepthOfField navy = depthOfField(6.1 * kInch_m, 2.8, 10 * kFoot_m, 0.002 * kInch_m);
    CHECK_THAT(navy.near_m / kFoot_m, WithinAbs(9.8, 0.05));
    CHECK_THAT(navy.far_m / kFoot_m, WithinAbs(10.2, 0.05));
    // A photographic handbook in print: 6 in, f/8, c 0.01 in: 450 in, without the focal length added.
    const double old_in = hyperfocal_m(6 * kInch_m, 8, 0.01 * kInch_m) / kInch_m - 6.0;
    CHECK_THAT(old_in, WithinRel(450.0, 1e-12));
    // A metadata program of Debian: 50 mm f/8 at 1 m, c 0.0300463 mm.
    const DepthOfField program = depthOfField(0.05, 8.0, 1.0, 0.0300463e-3);
    CHECK_THAT(program.near_m, WithinAbs(0.916304, 1e-6));
    CHECK_THAT(program.far_m, WithinAbs(1.100522, 1e-6));
    CHECK_THAT(hyperfocal_m(0.05, 8.0, 0.0300463e-3) - 0.05, WithinAbs(10.4006, 5e-5));
}

TEST_CASE("depth of field: focus between near and far lies at their harmonic mean",
          "[photo][law]") {
    // Handbook rule 2Dd/(D+d): 10.2 and 9.8 ft give 10 ft.
    const DepthOfField d = depthOfField(0.085, 11.0, 0.7, 3e-5);
    CHECK_THAT(2.0 * d.near_m * d.far_m / (d.near_m + d.far_m), WithinRel(0.7, 1e-12));
}

TEST_CASE("depth of field: close up the total is 2Nc(1+m)/m^2", "[photo][law]") {
    // Handbook close-up form; m 0.5 at f/11: 3.96 mm, exact within 0.2 %.
    const double f_m = 0.1, m = 0.5, s_m = f_m * (1.0 + 1.0 / m);
    const DepthOfField d = depthOfField(f_m, 11.0, s_m, 3e-5);
    CHECK_THAT((d.far_m - d.near_m) * 1e3, WithinRel(3.96, 2e-3));
}

TEST_CASE("diffraction: the Airy disc of 550 nm is 21.47 um at f/16, 32.2 um at m 0.5",
          "[photo][law]") {
    // First zero of J1, 3.83171 (Abramowitz & Stegun, table 9.5).
    CHECK_THAT(airyDiameter_m(550e-9, 16.0) * 1e6, WithinAbs(21.47, 5e-3));
    const double effective = effectiveAperture(16.0, 0.5, 1.0);
    CHECK_THAT(airyDiameter_m(550e-9, effective) * 1e6, WithinAbs(32.2, 5e-2));
}
