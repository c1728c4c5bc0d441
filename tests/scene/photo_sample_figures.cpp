// The sample figures of README's report, recomputed as far as they are arithmetic, and figures of
// the trade. Rows are common practice, no source, unless said; each follows from the formulas.
#include <catch2/catch.hpp>
#include <cmath>

#include "scene/colour.h"
#include "scene/photo.h"

using Catch::Matchers::WithinAbs;
using namespace keyfall;

namespace {
const double kN = engravedAperture(11).exact;
long srgb(double linear) {
    return std::lround(255.0 * encodeSrgb(linear));
}
}  // namespace

TEST_CASE("sample report: 351.2 lx*s at ISO 100 reads f/11 1/10, 0.13 over the set f/11",
          "[photo][law]") {
    const double n = apertureFromExposure(351.2, engravedIso(100).exact);
    CHECK_THAT(n, WithinAbs(11.85, 5e-3));
    CHECK(apertureReading(n) == "f/11 1/10");
    const double over = 2.0 * std::log2(n / kN);
    CHECK_THAT(over, WithinAbs(0.13, 5e-3));
    const double m = magnification(0.085, 1.161);
    CHECK_THAT(m, WithinAbs(0.079, 5e-4));
    CHECK_THAT(effectiveAperture(kN, m, 1.0), WithinAbs(12.2, 5e-2));
    const double closeUp = -2.0 * std::log2(1.0 + m);
    CHECK_THAT(closeUp, WithinAbs(-0.22, 5e-3));
    CHECK_THAT(over + closeUp, WithinAbs(-0.09, 5e-3));
    CHECK_THAT(kN, WithinAbs(11.314, 5e-4));
    CHECK(engravedShutter(1.0 / 125).exact == 0.0078125);
}

TEST_CASE("sample report: the card's share, the ratio, the lamp's power", "[photo][law]") {
    const double without = 351.2 - 45.5;
    CHECK_THAT(std::log2(351.2 / without), WithinAbs(0.20, 5e-3));
    CHECK(apertureReading(apertureFromExposure(without, 100)) == "f/8 9/10");
    const double shadow = 351.2 / std::exp2(2.4);
    CHECK(apertureReading(apertureFromExposure(shadow, 100)) == "f/4 7/10");
    CHECK(apertureReading(apertureFromExposure(shadow / std::exp2(1.8), 100)) == "f/2 9/10");
    const Ratios ratios = ratiosFromContrast(2.4);
    CHECK_THAT(ratios.kf_f, WithinAbs(5.3, 5e-2));
    CHECK_THAT(ratios.k_f, WithinAbs(4.3, 5e-2));
    CHECK_THAT(std::log2(ratios.k_f), WithinAbs(2.1, 5e-2));
    const double full_lms = 400.0 * 30.0;
    CHECK_THAT(full_lms * std::exp2(parsePower("1/4+0.3").stops), WithinAbs(3693.4, 5e-2));
    CHECK(srgb(0.18 * std::exp2(-2.6)) == 48);
}

TEST_CASE("sample report: 85 mm at f/11, focus 116.1 cm, is sharp from 110.5 to 122.3 cm",
          "[photo][law]") {
    const double c_m = std::hypot(36.0, 24.0) / 1442.0 * 1e-3;
    CHECK_THAT(c_m * 1e3, WithinAbs(0.03, 5e-4));
    const DepthOfField d = depthOfField(0.085, kN, 1.161, c_m);
    CHECK_THAT(d.near_m * 100, WithinAbs(110.5, 5e-2));
    CHECK_THAT(d.far_m * 100, WithinAbs(122.3, 5e-2));
    CHECK_THAT((1.161 - d.near_m) * 100, WithinAbs(5.6, 5e-2));
    CHECK_THAT((d.far_m - 1.161) * 100, WithinAbs(6.2, 5e-2));
    // 3.6 cm soft behind: focused at 120.8 one frame reaches there and still holds the old focus.
    const DepthOfField moved = depthOfField(0.085, kN, 1.208, c_m);
    CHECK(moved.far_m >= d.far_m + 0.036);
    CHECK(moved.near_m < 1.161);
    CHECK_THAT((1.208 - 1.161) * 100, WithinAbs(4.7, 5e-2));
}

TEST_CASE("trade figures: lx*s of f/8, f/11, f/16, f/22; two lights of f/11 make f/16",
          "[photo][law]") {
    const double rows[][2] = {{8, 160}, {11, 320}, {16, 640}, {22, 1280}};
    for (const auto& [f, h] : rows)
        CHECK_THAT(exposureForAperture_lxs(engravedAperture(f).exact, 100), WithinAbs(h, 1e-9));
    CHECK_THAT(exposureForAperture_lxs(11.0, 100), WithinAbs(303, 0.5));
    const double h11 = exposureForAperture_lxs(kN, 100);
    CHECK(apertureReading(apertureFromExposure(h11 + h11, 100)) == "f/16");
    // H at 1 m = 2.5*GN^2 lx*s.
    CHECK_THAT(guideNumber_m(2.5 * 58 * 58), WithinAbs(58, 1e-9));
}

TEST_CASE("trade figures: key two stops over fill is 5:1, 2.3 stops between the readings",
          "[photo][law]") {
    const Ratios ratios = ratiosFromContrast(std::log2(4.0 + 1.0));
    CHECK_THAT(ratios.k_f, WithinAbs(4.0, 1e-12));
    CHECK_THAT(ratios.kf_f, WithinAbs(5.0, 1e-12));
    CHECK_THAT(std::log2(5.0), WithinAbs(2.3, 5e-2));
}

TEST_CASE("trade figures: white paper shows at 243, a third of a stop more clips", "[photo][law]") {
    const long below[] = {243, 179, 130, 94, 67, 47};
    for (int stops = 0; stops <= 5; ++stops) CHECK(srgb(0.90 * std::exp2(-stops)) == below[stops]);
    CHECK(0.90 * std::exp2(1.0 / 3) > 1.0);
    // A spot reading straight from the meter places its spot at 15.7 %, 0.20 stop under 18 %.
    const double metered = pictureValue(kMeterK * kN * kN / 100.0, 100.0, kN);
    CHECK_THAT(metered, WithinAbs(0.157, 5e-4));
    CHECK_THAT(std::log2(0.18 / metered), WithinAbs(0.20, 5e-3));
}

TEST_CASE("trade figures: depth and close-up loss of products that fill 85 % of the long side",
          "[photo][law]") {
    const double rows[][3] = {
        {300, 72, 0.3}, {200, 33, 0.4}, {150, 20, 0.5}, {80, 6.4, 0.9}, {50, 2.9, 1.4}};
    const double half[] = {0.5, 0.5, 0.5, 0.05, 0.05};
    for (int i = 0; i < 5; ++i) {
        const auto& [height_mm, total_mm, loss_stops] = rows[i];
        const double m = 0.85 * 36.0 / height_mm, f_m = 0.1;
        const DepthOfField d = depthOfField(f_m, kN, f_m * (1.0 + 1.0 / m), 3e-5);
        CHECK_THAT((d.far_m - d.near_m) * 1e3, WithinAbs(total_mm, half[i]));
        CHECK_THAT(2.0 * std::log2(1.0 + m), WithinAbs(loss_stops, 0.05));
    }
}

TEST_CASE("trade figures: a 500 lx room is 6.4 stops under f/11 at 1/125 s, 1.4 at 1/4 s",
          "[photo][law]") {
    const auto under = [](double shutter_s) {
        return std::log2(exposureForAperture_lxs(kN, 100) /
                         (500.0 * engravedShutter(shutter_s).exact));
    };
    CHECK_THAT(under(1.0 / 125), WithinAbs(6.4, 5e-2));
    CHECK_THAT(under(1.0 / 4), WithinAbs(1.4, 5e-2));
}
