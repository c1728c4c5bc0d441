// ISO 12232 and APEX against worked figures of the standards. Not here: meters
// (photo_exposure.cpp).
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "scene/colour.h"
#include "scene/photo.h"

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

namespace {
constexpr double kDegree = std::numbers::pi / 180.0;
// Half a unit of the eighth decimal, the last one printed.
constexpr double kPrinted = 5e-9;
}  // namespace

TEST_CASE("ISO 12232: q of the focal plane equation", "[photo][law]") {
    // ISO 12232:2006: T 0.9, v 0.98, 10 degrees give "0.65". The eight-digit values are worked
    // vectors that an open (BSD licence) colour library tests itself with.
    CHECK_THAT(focalPlaneFactor_q(0.9, 0.98, 10 * kDegree), WithinAbs(0.65157, 5e-6));
    CHECK_THAT(focalPlaneFactor_q(0.8, 0.98, 10 * kDegree), WithinAbs(0.57917763, kPrinted));
    CHECK_THAT(focalPlaneFactor_q(0.9, 0.94, 20 * kDegree), WithinAbs(0.51808797, kPrinted));
}

TEST_CASE("ISO 12232: exposure of the focal plane, saturation speed, standard output speed",
          "[photo][law]") {
    // Worked vectors as above; distance far away, so that i = F.
    const double q = focalPlaneFactor_q(0.9, 0.98, 10 * kDegree);
    const double h = focalPlaneExposure_lxs(4000, 8, 1.0 / 250, 0.05, 0.05, q);
    CHECK_THAT(h, WithinAbs(0.16289371, kPrinted));
    CHECK_THAT(focalPlaneExposure_lxs(4000, 8, 1.0 / 250, 0.05, 0.05, q, 0.0015),
               WithinAbs(0.16439371, kPrinted));
    CHECK_THAT(focalPlaneExposure_lxs(2000, 5.6, 1.0 / 500, 0.05, 0.05, q),
               WithinAbs(0.08310904, kPrinted));
    // H*100/78 = 0.21076116: the exposure in units of the saturation exposure of ISO 100.
    // (The print cuts the eighth decimal off instead of rounding it.)
    CHECK_THAT(100.0 / saturationSpeed(0.16439371), WithinAbs(0.21076116, 2 * kPrinted));
    CHECK_THAT(standardOutputSpeed(0.16439371), WithinAbs(60.82957797, 5e-9));
}

TEST_CASE("ISO 12232: extension darkens by (i/F)^2", "[photo][law]") {
    // The standard's own F^2/i^2; at m = 0.5 the image distance is 1.5 F, 1.17 stops.
    const double far_lxs = focalPlaneExposure_lxs(1000, 8, 0.01, 0.1, 0.1, 0.65);
    const double near_lxs = focalPlaneExposure_lxs(1000, 8, 0.01, 0.1, 0.15, 0.65);
    CHECK_THAT(far_lxs / near_lxs, WithinRel(2.25, 1e-12));
}

TEST_CASE("ISO 12232: saturation lies 3.26 stops over the K = 12.5 meter point", "[photo][law]") {
    // L_sat = 78/(100*0.65) = 1.2 cd/m2 at EV100 0, meter point 0.125 cd/m2. SOS: 10/0.65 = 15.4.
    const double saturation = 78.0 / (100.0 * 0.65);
    CHECK_THAT(saturationSpeed(saturation * 0.65), WithinRel(100.0, 1e-12));
    const double meterPoint = kMeterK / 100.0;
    CHECK_THAT(std::log2(saturation / meterPoint), WithinAbs(3.26, 5e-3));
    const double kOfOutputSpeed = 10.0 / 0.65;
    CHECK_THAT(std::log2(kOfOutputSpeed / kMeterK), WithinAbs(0.30, 5e-3));
    CHECK_THAT(standardOutputSpeed(0.1), WithinRel(100.0, 1e-12));
}

TEST_CASE("ISO 12232: standard output level 0.461 of full code is 18 % grey in sRGB, 118",
          "[photo][law]") {
    CHECK_THAT(encodeSrgb(0.18), WithinAbs(0.461, 5e-4));
    CHECK(std::lround(255.0 * encodeSrgb(0.18)) == 118);
    // Rated by SOS with q = 0.65 a camera stands 0.10 stop lower: grey at 114.
    CHECK(std::lround(255.0 * encodeSrgb(0.18 * std::exp2(-0.10))) == 114);
}

TEST_CASE("APEX: Av of f/8 is 6, Tv of 1/125 is 6.966, Sv of ISO 100 is 5", "[photo][law]") {
    // ASA PH2.12-1964 and Exif; constants from memory.
    CHECK_THAT(apexAperture(8.0), WithinAbs(6.0, 1e-12));
    CHECK_THAT(apexTime(1.0 / 125), WithinAbs(6.966, 5e-4));
    CHECK_THAT(apexTime(1.0 / 128), WithinAbs(7.0, 1e-12));
    CHECK_THAT(apexSpeed(100.0), WithinAbs(5.0, 1e-12));
    CHECK_THAT(apexSpeed(100.0) + std::log2(std::exp2(-1.75) / 0.32), WithinAbs(4.894, 5e-4));
    // Ev = Av + Tv.
    CHECK_THAT(apexAperture(5.6) + apexTime(0.01), WithinRel(exposureValue(5.6, 0.01), 1e-12));
}
