// Readings: the mean, its interval and the jackknife, against textbook statistics and simulation.
// Not here: readings of a scene (tests/meter).
#include "renderer/film/reading.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <random>

using namespace keyfall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

Reading normalReading(std::mt19937_64& random, double mean, double sigma) {
    std::normal_distribution<double> normal(mean, sigma);
    Reading r;
    for (double& v : r.value) v = normal(random);
    return r;
}

/// Density of Student's t with n degrees of freedom (any table of distributions).
double studentDensity(double t, double n) {
    return std::exp(std::lgamma((n + 1) / 2) - std::lgamma(n / 2)) /
           std::sqrt(n * std::acos(-1.0)) * std::pow(1 + t * t / n, -(n + 1) / 2);
}

}  // namespace

TEST_CASE("standard error: the numbers 1 to 16 have mean 8.5 and variance 16*17/12", "[reading]") {
    Reading r;
    for (std::size_t i = 0; i < r.value.size(); ++i) r.value[i] = static_cast<double>(i) + 1.0;
    CHECK_THAT(r.mean(), WithinRel(8.5, 1e-15));
    // Sample variance of 1..n is n(n+1)/12 (closed form); of the mean, a sixteenth of it.
    CHECK_THAT(r.standardError(), WithinRel(std::sqrt(16.0 * 17.0 / 12.0 / 16.0), 1e-14));
}

TEST_CASE("standard error: a large mean takes no digits from a small spread", "[reading]") {
    Reading r;
    for (std::size_t i = 0; i < r.value.size(); ++i) r.value[i] = 1e9 + static_cast<double>(i);
    CHECK_THAT(r.standardError(), WithinRel(std::sqrt(17.0 / 12.0), 1e-9));
}

TEST_CASE("Student's t: the constant leaves 5 % outside at 15 degrees of freedom", "[reading]") {
    // Simpson's rule over the density itself, not a copied table.
    const int steps = 2000;
    const double h = kStudent95_df15 / steps;
    double sum = studentDensity(0, 15) + studentDensity(kStudent95_df15, 15);
    for (int i = 1; i < steps; ++i) sum += (i % 2 == 0 ? 2 : 4) * studentDensity(i * h, 15);
    CHECK_THAT(2 * sum * h / 3, WithinAbs(0.95, 1e-9));
}

TEST_CASE("the 95 % interval covers the true mean in 93-97 % of 2000 readings", "[reading]") {
    // Student 1908 for normal replicates. Expected scatter of the count: 0.49 %.
    std::mt19937_64 random(20240501);
    int covered = 0;
    for (int trial = 0; trial < 2000; ++trial) {
        const Interval i = normalReading(random, 320.0, 25.0).interval95();
        if (i.low <= 320.0 && 320.0 <= i.high) ++covered;
    }
    INFO(covered << " of 2000");
    CHECK(covered >= 1860);
    CHECK(covered <= 1940);
}

TEST_CASE("the jackknife interval of a ratio covers the true ratio in 93-97 %", "[reading]") {
    std::mt19937_64 random(7);
    int covered = 0;
    for (int trial = 0; trial < 2000; ++trial) {
        const Reading lit = normalReading(random, 4.0, 0.8);
        const Reading shadow = normalReading(random, 1.0, 0.2);
        const Reading stops =
            combine([](double a, double b) { return std::log2(a / b); }, lit, shadow);
        const Interval i = stops.interval95();
        if (i.low <= 2.0 && 2.0 <= i.high) ++covered;
    }
    INFO(covered << " of 2000");
    CHECK(covered >= 1860);
    CHECK(covered <= 1940);
}

TEST_CASE("the jackknife takes the bias out of a ratio that the plain ratio has", "[reading]") {
    // To first order E[a/b] - A/B = (A/B) var(b)/B^2 = 0.09/16 for means over 16 replicates
    // (Efron & Tibshirani ch. 10, from memory). The plain ratio has to show it, or the test is
    // blind.
    std::mt19937_64 random(99);
    const int trials = 20000;
    double jack = 0;
    double jackSquares = 0;
    double plain = 0;
    const auto ratio = [](double a, double b) { return a / b; };
    for (int trial = 0; trial < trials; ++trial) {
        const Reading a = normalReading(random, 1.0, 0.3);
        const Reading b = normalReading(random, 1.0, 0.3);
        const double unbiased = combine(ratio, a, b).mean();
        jack += unbiased / trials;
        jackSquares += unbiased * unbiased / trials;
        plain += a.mean() / b.mean() / trials;
    }
    const double error = std::sqrt((jackSquares - jack * jack) / trials);
    INFO("jackknife " << jack << ", plain " << plain << ", standard error " << error);
    CHECK(std::abs(jack - 1.0) < 4 * error);
    CHECK_THAT(plain - 1.0, WithinAbs(0.09 / 16, 4 * error));
}

TEST_CASE("two equal lights add exactly one stop, replicate by replicate", "[reading]") {
    // log2(2) = 1; both carry the same noise, so the difference has none (common random numbers).
    std::mt19937_64 random(3);
    const Reading one = normalReading(random, 100.0, 10.0);
    Reading both = one;
    both += one;
    const Reading gain = combine([](double a, double b) { return std::log2(a / b); }, both, one);
    CHECK_THAT(gain.mean(), WithinRel(1.0, 1e-13));
    CHECK(gain.interval95().half() < 1e-12);

    Reading halved = both;
    halved *= 0.5;
    for (std::size_t i = 0; i < one.value.size(); ++i) CHECK(halved.value[i] == one.value[i]);
}

TEST_CASE("a linear function needs no jackknife: the replicates come through it", "[reading]") {
    std::mt19937_64 random(4);
    const Reading r = normalReading(random, 5.0, 1.0);
    const Reading twice = combine([](double a) { return 2.0 * a + 1.0; }, r);
    for (std::size_t i = 0; i < r.value.size(); ++i)
        CHECK_THAT(twice.value[i], WithinRel(2.0 * r.value[i] + 1.0, 1e-12));
}
