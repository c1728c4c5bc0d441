// How even a front is, from readings made up. Not here: measuring them (tests/program/lamp_figures_test.cpp).
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "renderer/meter/lamp_figures.h"

using namespace keyfall;

namespace {

/// 7 x 7 spots, the share `bright` of them a stop over the rest, each replicate off by `noise` of its value.
FrontGrid gridOf(double bright, double noise, std::uint32_t seed) {
    std::mt19937 random(seed);
    std::normal_distribution<double> normal;
    FrontGrid front{7, 7, 1.0, 1.0, std::vector<Reading>(49), std::vector<char>(49, 1)};
    for (std::size_t i = 0; i < 49; ++i)
        for (double& v : front.luminance[i].value)
            v = (static_cast<double>(i) < 49.0 * bright ? 2.0 : 1.0) * (1.0 + noise * normal(random));
    return front;
}

}  // namespace

TEST_CASE("noise alone makes no front uneven", "[meter][lamp]") {
    // Replicates off by 20 %: spots by 5 %, 0.072 stop. The 5th and 95th percentiles of 49 normal numbers are
    // 1.6 of that to each side of the middle (any table of the normal distribution): sorted by themselves,
    // even spots would come to 0.23 stop. Mean over 64 fronts, each with an interval of its own.
    double sum = 0.0, half = 0.0;
    int held = 0;
    for (std::uint32_t seed = 1; seed <= 64; ++seed) {
        const auto even = evennessOf(gridOf(0.0, 0.2, seed));
        REQUIRE(even);
        sum += even->value / 64.0;
        half += even->interval95.half() / 64.0;
        held += even->interval95.low <= 0.0 && even->interval95.high >= 0.0;
    }
    INFO(sum << " stop in the mean, each ± " << half << ", " << held << " of 64 hold 0");
    CHECK(std::abs(sum) < 0.03);
    // 61 of 64 on average, standard deviation 1.7.
    CHECK(held >= 54);
    CHECK(half < 0.3);
}

TEST_CASE("what is uneven under noise keeps its stops", "[meter][lamp]") {
    // One half a stop brighter; both percentiles lie well inside of their halves.
    const auto uneven = evennessOf(gridOf(0.5, 0.1, 3));
    REQUIRE(uneven);
    INFO(uneven->value << " ± " << uneven->interval95.half());
    CHECK(uneven->value == Approx(1.0).margin(0.1));
    CHECK(uneven->interval95.half() < 0.1);
    FrontGrid dark = gridOf(0.5, 0.0, 3);
    CHECK(evennessOf(dark)->value == Approx(1.0).margin(1e-9));
    for (std::size_t i = 40; i < 49; ++i) dark.luminance[i] = {};
    CHECK_FALSE(evennessOf(dark));
}
