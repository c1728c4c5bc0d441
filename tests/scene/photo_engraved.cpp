// Engraved series, and readings in tenths. Not here: what exposure they need (photo_exposure.cpp).
#include <catch2/catch.hpp>
#include <cmath>

#include "scene/photo.h"

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

namespace {
// Nominal apertures in thirds of a stop (ISO 517); times and speeds from memory.
constexpr double kApertures[] = {1,  1.1, 1.2, 1.4, 1.6, 1.8, 2,  2.2, 2.5, 2.8, 3.2, 3.5,
                                 4,  4.5, 5,   5.6, 6.3, 7.1, 8,  9,   10,  11,  13,  14,
                                 16, 18,  20,  22,  25,  29,  32, 36,  40,  45};
constexpr double kTimes[] = {1,   1.3, 1.6, 2,   2.5, 3,   4,   5,   6,   8,   10,
                             13,  15,  20,  25,  30,  40,  50,  60,  80,  100, 125,
                             160, 200, 250, 320, 400, 500, 640, 800, 1000};
constexpr double kSpeeds[] = {100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600};

double stopsOff(double nominal) {
    return 2.0 * std::log2(nominal / engravedAperture(nominal).exact);
}
}  // namespace

TEST_CASE("engraved f-numbers name 2^(k/6), in order", "[photo][law]") {
    for (int k = 0; k < static_cast<int>(std::size(kApertures)); ++k) {
        const Engraved f = engravedAperture(kApertures[k]);
        CHECK(f.asWritten == kApertures[k]);
        CHECK_THAT(f.exact, WithinRel(std::exp2(k / 6.0), 1e-12));
    }
    // Full stops exact, as handbooks print them.
    CHECK_THAT(engravedAperture(1.4).exact, WithinAbs(1.4142, 5e-5));
    CHECK_THAT(engravedAperture(5.6).exact, WithinAbs(5.6569, 5e-5));
    CHECK_THAT(engravedAperture(11).exact, WithinAbs(11.3137, 5e-5));
    CHECK_THAT(engravedAperture(22).exact, WithinAbs(22.627, 5e-4));
}

TEST_CASE("engraved f-numbers miss their step by at most 0.141 stop", "[photo][law]") {
    // Misses worked out from the two series: f/1.2 is the worst.
    CHECK_THAT(stopsOff(1.2), WithinAbs(-0.141, 5e-4));
    CHECK_THAT(stopsOff(11), WithinAbs(-0.081, 5e-4));
    CHECK_THAT(stopsOff(22), WithinAbs(-0.081, 5e-4));
    CHECK_THAT(stopsOff(13), WithinAbs(0.068, 5e-4));
    CHECK_THAT(stopsOff(3.5), WithinAbs(-0.052, 5e-4));
    CHECK_THAT(stopsOff(5.6), WithinAbs(-0.029, 5e-4));
    for (const double f : kApertures) CHECK(std::abs(stopsOff(f)) < 0.1415);
}

TEST_CASE("engraved times name 2^(-k/3) s: 1/125 is 1/128, 30 s is 32 s", "[photo][law]") {
    for (int k = 0; k < static_cast<int>(std::size(kTimes)); ++k)
        CHECK_THAT(engravedShutter(1.0 / kTimes[k]).exact, WithinRel(std::exp2(-k / 3.0), 1e-12));
    CHECK(engravedShutter(1.0 / 125).exact == 1.0 / 128);
    CHECK_THAT(engravedShutter(30.0).exact, WithinRel(32.0, 1e-12));
    CHECK_THAT(std::log2(15.0 * engravedShutter(1.0 / 15).exact), WithinAbs(-0.093, 5e-4));
    CHECK_THAT(std::log2(60.0 * engravedShutter(1.0 / 60).exact), WithinAbs(-0.093, 5e-4));
    CHECK_THAT(std::log2(125.0 / 128), WithinAbs(-0.034, 5e-4));
}

TEST_CASE("engraved times over and near a second", "[photo]") {
    // Dial positions from memory: the decimals 0.8 0.6 0.5 0.4 0.3 are 1/1.3 1/1.6 1/2 1/2.5 1/3.
    const double decimals[] = {0.8, 0.6, 0.5, 0.4, 0.3};
    for (int k = 1; k <= 5; ++k)
        CHECK_THAT(engravedShutter(decimals[k - 1]).exact, WithinRel(std::exp2(-k / 3.0), 1e-12));
    const double seconds[] = {1.3, 1.6, 2, 2.5, 3.2, 4, 5, 6, 8, 10, 13, 15, 20, 25, 30};
    for (int k = 1; k <= 15; ++k)
        CHECK_THAT(engravedShutter(seconds[k - 1]).exact, WithinRel(std::exp2(k / 3.0), 1e-12));
    CHECK(engravedShutter(3.0).exact == engravedShutter(3.2).exact);
}

TEST_CASE("engraved speeds name 100*2^(k/3): 125 is 125.99", "[photo][law]") {
    double worst = 0.0;
    for (int k = 0; k < static_cast<int>(std::size(kSpeeds)); ++k) {
        const Engraved s = engravedIso(kSpeeds[k]);
        CHECK_THAT(s.exact, WithinRel(100.0 * std::exp2(k / 3.0), 1e-12));
        worst = std::max(worst, std::abs(std::log2(s.asWritten / s.exact)));
    }
    CHECK_THAT(engravedIso(125).exact, WithinAbs(125.99, 5e-3));
    CHECK_THAT(worst, WithinAbs(0.023, 5e-4));  // 1250 for 1269.9
    CHECK_THAT(engravedIso(50).exact, WithinRel(50.0, 1e-12));
}

TEST_CASE("numbers outside the series are literal", "[photo]") {
    for (const double n : {11.85, 0.95, 1.7, 6.7, 12.0, 100.0})
        CHECK(engravedAperture(n).exact == n);
    for (const double t : {1.0 / 45, 1.0 / 90, 7.0, 120.0}) CHECK(engravedShutter(t).exact == t);
    for (const double s : {110.0, 64.5, 3.0}) CHECK(engravedIso(s).exact == s);
}

TEST_CASE("readings name the whole stop at or below and tenths; rounding carries", "[photo][law]") {
    // Notation of meters, common practice, no source.
    CHECK(apertureReading(std::exp2((7 + 0.1) / 2)) == "f/11 1/10");
    CHECK(apertureReading(std::exp2((6 + 0.9) / 2)) == "f/8 9/10");
    CHECK(apertureReading(8.0) == "f/8");
    CHECK(apertureReading(std::exp2((7 - 0.049) / 2)) == "f/11");  // 8 and 9.51 tenths carry
    CHECK(apertureReading(std::exp2((7 - 0.051) / 2)) == "f/8 9/10");
    CHECK(apertureReading(std::exp2(-0.3 / 2)) == "f/0.7 7/10");  // below f/1 too
    CHECK(apertureReading(1.0) == "f/1");
    CHECK(apertureReading(0.0) == "no light");
}

TEST_CASE("readings use the nominal whole stops", "[photo]") {
    const char* names[] = {"f/1",  "f/1.4", "f/2",  "f/2.8", "f/4",  "f/5.6", "f/8",
                           "f/11", "f/16",  "f/22", "f/32",  "f/45", "f/64",  "f/90"};
    for (int stop = 0; stop < 14; ++stop)
        CHECK(apertureReading(std::exp2(stop / 2.0)) == names[stop]);
}

TEST_CASE("readings read back as the exact f-number, every tenth from f/0.5 to f/90", "[photo]") {
    for (int tenths = -20; tenths <= 130; ++tenths) {
        const double n = std::exp2(tenths / 20.0);
        const auto back = parseApertureReading(apertureReading(n));
        INFO(apertureReading(n));
        REQUIRE(back);
        CHECK_THAT(*back, WithinRel(n, 1e-12));
    }
}

TEST_CASE("readings as text: accepted and refused", "[photo]") {
    CHECK_THAT(parseApertureReading("f/16 3/10").value(), WithinRel(std::exp2(8.3 / 2), 1e-12));
    CHECK_THAT(parseApertureReading(" 16 ").value(), WithinRel(16.0, 1e-12));
    CHECK_THAT(parseApertureReading("f/11").value(), WithinRel(std::exp2(3.5), 1e-12));
    for (const char* text :
         {"", "f/", "f/x", "f/16 3", "f/16 10/10", "f/16 3/10 x", "-8", "f/0", "8,5"})
        CHECK_FALSE(parseApertureReading(text));
}

TEST_CASE("times as text: accepted and refused", "[photo]") {
    CHECK_THAT(parseTime_s("1/125").value(), WithinRel(1.0 / 125, 1e-12));
    CHECK_THAT(parseTime_s("2").value(), WithinRel(2.0, 1e-12));
    CHECK_THAT(parseTime_s("0.5").value(), WithinRel(0.5, 1e-12));
    for (const char* text : {"", "0", "-1", "1/0", "1/-5", "1/2/3", "fast", "1/125s", "nan", "inf"})
        CHECK_FALSE(parseTime_s(text));
}
