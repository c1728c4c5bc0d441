// Power notation of lamps. The notation: common practice, no source.
// Not here: what power does to a lamp (scene.h, Light::strength).
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "scene/photo.h"

using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using namespace keyfall;

TEST_CASE("a power with two signs is no power", "[photo][power]") {
    for (const char* text : {"1/4++0.3", "1/4+-0.3", "1/4--0.3", "1/4-+0.3", "1/4+ +0.3"})
        CHECK(parsePower(text).error.find("is not understood") != std::string::npos);
    CHECK(parsePower("1/4+ 0.3").stops == Approx(-1.7));
}

TEST_CASE("power texts are stops under full", "[photo]") {
    const struct {
        const char* text;
        double stops;
    } rows[] = {{"1", 0},
                {"1.0", 0},
                {"1/1", 0},
                {"1/4", -2},
                {"1/256", -8},
                {"1/4+0.3", -1.7},
                {"1/2-0.7", -1.7},
                {"1/4 + 0.3", -1.7},
                {"60%", std::log2(0.6)},
                {"100 %", 0},
                {"-1.3 stops", -1.3},
                {"-1 stop", -1},
                {"0 stops", 0},
                {"0.25", -2},
                {" 0.5 ", -1},
                {"1/3", -std::log2(3.0)}};
    for (const auto& row : rows) {
        INFO(row.text);
        const PowerOrError power = parsePower(row.text);
        CHECK(power.error.empty());
        CHECK_THAT(power.stops, WithinAbs(row.stops, 1e-12));
    }
}

TEST_CASE("power zero is no light, in every notation", "[photo]") {
    for (const char* text : {"0", "0%", "0/4", "0.0"}) {
        CHECK(parsePower(text).error.empty());
        CHECK(parsePower(text).stops == -std::numeric_limits<double>::infinity());
    }
}

TEST_CASE("power above full is refused with the 1-10 hint", "[photo]") {
    for (const char* text : {"7.3", "1.01", "1/1+0.3", "101%", "+0.1 stops", "2/1", "10"}) {
        INFO(text);
        CHECK_THAT(parsePower(text).error,
                   Contains("some lamps show stops as 1-10: write '1/8' or '-3 stops'"));
    }
    CHECK(
        parsePower("7.3").error ==
        "power '7.3' is more than full; some lamps show stops as 1-10: write '1/8' or '-3 stops'");
}

TEST_CASE("power texts that are none are refused with what is allowed", "[photo]") {
    for (const char* text : {"", "full", "1/4+", "1/4+x", "1/4+-0.3", "1/0", "1/4%", "%", "stops",
                             "0.5+0.3", "1/4+0.3+0.3", "nan", "inf", "-inf", "1e400", "1,5"}) {
        INFO(text);
        CHECK_THAT(parsePower(text).error,
                   Contains("write a share of full power such as 0.5, '1/4', '1/4+0.3', '60%' or "
                            "'-1.3 stops'"));
    }
    CHECK_THAT(parsePower("-0.5").error, Contains("is negative"));
}

TEST_CASE("power in reports: the whole fraction at or below and stops above it", "[photo]") {
    CHECK(canonicalPower(0.0) == "1/1");
    CHECK(canonicalPower(-1.7) == "1/4+0.3");
    CHECK(canonicalPower(-2.0) == "1/4");
    CHECK(canonicalPower(-8.0) == "1/256");
    CHECK(canonicalPower(-0.1) == "1/2+0.9");
    CHECK(canonicalPower(-1.0 - 1e-12) == "1/2");
    CHECK(canonicalPower(-std::numeric_limits<double>::infinity()) == "0");
}

TEST_CASE("power in reports reads back within a thousandth of a stop", "[photo]") {
    for (int i = 0; i <= 1200; ++i) {
        const double stops = -i * 0.00837;
        CHECK_THAT(parsePower(canonicalPower(stops)).stops, WithinAbs(stops, 5.0001e-4));
    }
}
