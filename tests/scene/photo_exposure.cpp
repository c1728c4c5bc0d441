// Meter equation, exposure values, flash and guide numbers against handbook figures.
// Not here: series and readings (photo_engraved.cpp), lenses (photo_lens.cpp).
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "scene/photo.h"

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

TEST_CASE("meter: EV 100 of f/8, 1/250 s, ISO 400 is 11.9657843", "[photo][law]") {
    // Definition EV = log2(N^2/t), ISO 2720:1974; value computed by hand: log2(64*250) - 2.
    CHECK_THAT(ev100(8.0, 1.0 / 250, 400.0), WithinAbs(11.9657843, 5e-8));
}

TEST_CASE("meter: EV 0 at ISO 100 is 2.5 lx and 0.125 cd/m2, and doubles per step",
          "[photo][law]") {
    // ISO 2720:1974 with C = 250, K = 12.5; the lux of EV 5, 8, 10, 12, 15 as printed on meters.
    const double rows[][2] = {{0, 2.5}, {5, 80}, {8, 640}, {10, 2560}, {12, 10240}, {15, 81920}};
    for (const auto& [ev, illuminance_lx] : rows) {
        const double t_s = 1.0 / 60;
        const double n = apertureFromExposure(illuminance_lx * t_s, 100.0);
        CHECK_THAT(ev100(n, t_s, 100.0), WithinAbs(ev, 1e-12));
        const double spot = apertureFromLuminance(illuminance_lx / 20.0 * t_s, 100.0);
        CHECK_THAT(spot, WithinRel(n, 1e-12));
    }
}

TEST_CASE("meter: the reflectance implied by K and C", "[photo][law]") {
    // pi*K/C: 15.7 % (12.5/250), 17.6 % (14/250), 11.9 % (12.5/330); ISO 2720:1974. A surface of
    // this reflectance reads alike in the incident and the spot meter.
    const double rows[][3] = {{12.5, 250, 0.157}, {14, 250, 0.176}, {12.5, 330, 0.119}};
    for (const auto& [k, c, printed] : rows) {
        const double exposure_lxs = 320.0, n = apertureFromExposure(exposure_lxs, 100.0, c);
        const double luminance = n * n * k / 100.0;  // what a spot meter needs to agree
        CHECK_THAT(apertureFromLuminance(luminance, 100.0, k), WithinRel(n, 1e-12));
        CHECK_THAT(luminance * std::numbers::pi / exposure_lxs, WithinAbs(printed, 5e-4));
    }
}

TEST_CASE("meter: sunny 16 is 64 000 lx and EV 14.64", "[photo][law]") {
    // Common practice, no source: f/16 at 1/ISO s in sunlight; figures follow with C = 250.
    CHECK_THAT(ev100(16.0, 1.0 / 100, 100.0), WithinAbs(14.64, 5e-3));
    CHECK_THAT(apertureFromExposure(64000.0 / 100, 100.0), WithinRel(16.0, 1e-12));
    CHECK_THAT(apertureFromLuminance(3200.0 / 100, 100.0), WithinRel(16.0, 1e-12));
}

TEST_CASE("meter: the exposure of an f-number is the inverse of the reading", "[photo]") {
    for (const double iso : {50.0, 100.0, 1600.0})
        for (const double c : {kMeterC_flat, kMeterC_dome})
            CHECK_THAT(apertureFromExposure(exposureForAperture_lxs(9.3, iso, c), iso, c),
                       WithinRel(9.3, 1e-12));
}

TEST_CASE("picture: a matt surface under metered light shows at its reflectance", "[photo][law]") {
    // Lambert: Q = rho*H/pi. Metered for N, so H = C*N^2/S. Derived, contract of the picture.
    for (const double rho : {0.18, 0.9})
        for (const double n : {8.0, 11.3137085}) {
            const double h_lxs = 250.0 * n * n / 200.0;
            CHECK_THAT(pictureValue(rho * h_lxs / std::numbers::pi, 200.0, n),
                       WithinRel(rho, 1e-12));
        }
}

TEST_CASE("flash: guide number 40 m at ISO 100 is 4000 cd*s; 1000 lx*s is f/20", "[photo][law]") {
    // GN = sqrt(Q_I*S/C), from N^2 = H*S/C and H = Q_I/d^2.
    CHECK_THAT(guideNumber_m(4000.0), WithinRel(40.0, 1e-12));
    CHECK_THAT(apertureFromExposure(1000.0, 100.0), WithinRel(20.0, 1e-12));
    // GN grows with the root of the speed; feet are 3.2808 per metre. Handbook rule.
    CHECK_THAT(guideNumber_m(4000.0, 400.0), WithinRel(80.0, 1e-12));
    for (const double d_m : {0.5, 2.0, 5.0})
        CHECK_THAT(apertureFromExposure(4000.0 / (d_m * d_m), 100.0), WithinRel(40.0 / d_m, 1e-12));
}

TEST_CASE("flash: 400 W*s at 30 lm*s/W*s bare is guide number 19.5 m, in bowls 27.6 and 47.9",
          "[photo][law]") {
    // 12 000 lm*s, isotropic: / 4 pi = 955 cd*s. Bowl factors 2 and 6: common practice, no source.
    const double bare_cds = 400.0 * 30.0 / (4.0 * std::numbers::pi);
    CHECK_THAT(bare_cds, WithinAbs(955.0, 0.5));
    CHECK_THAT(guideNumber_m(bare_cds), WithinAbs(19.5, 0.05));
    CHECK_THAT(guideNumber_m(2.0 * bare_cds), WithinAbs(27.6, 0.05));
    CHECK_THAT(guideNumber_m(6.0 * bare_cds), WithinAbs(47.9, 0.05));
}

TEST_CASE("flash: the older rule GN_ft = sqrt(0.05*BCPS*S) is C = 20 fc*s, 0.22 stop away",
          "[photo][law]") {
    // The rule from memory; 1 fc = 10.76391 lx, 1 ft = 0.3048 m exactly.
    const double bcps = 3000.0, c_lxs = 20.0 * 10.7639104;
    CHECK_THAT(c_lxs, WithinAbs(215.3, 0.05));
    const double older_ft = std::sqrt(0.05 * bcps * 100.0);
    CHECK_THAT(guideNumber_m(bcps, 100.0, c_lxs) / 0.3048, WithinRel(older_ft, 1e-6));
    const double ratio = older_ft * 0.3048 / guideNumber_m(bcps);
    CHECK_THAT(2.0 * std::log2(ratio), WithinAbs(0.22, 5e-3));
}
