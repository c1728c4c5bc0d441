// The path sampler: nets, independence, honest replicates. Not here: what paths do with it.
#include <catch2/catch.hpp>
#include <algorithm>
#include <cmath>
#include <set>
#include <vector>

#include "renderer/optics/sampler.h"

namespace keyfall::test {

namespace {

using Catch::WithinAbs;

/// Sobol's second dimension column by column, for comparison: v_1 = 1/2, and by the recurrence of
/// the polynomial x + 1, v_k = v_(k-1) xor (v_(k-1) >> 1). Source: Sobol 1967; Joe & Kuo 2003.
std::uint32_t sobolSecondByColumns(std::uint32_t index) {
    std::uint32_t column = 0x80000000U;
    std::uint32_t x = 0;
    for (; index != 0; index >>= 1U) {
        if ((index & 1U) != 0) x ^= column;
        column ^= column >> 1U;
    }
    return x;
}

std::vector<glm::vec2> pairs(std::uint32_t stream, int dimension, int count) {
    std::vector<glm::vec2> out;
    for (int i = 0; i < count; ++i) {
        PathSampler s(7U, stream, static_cast<std::uint32_t>(i));
        for (int d = 0; d < dimension; ++d) s.next2D();
        out.push_back(s.next2D());
    }
    return out;
}

/// Every elementary interval of area 1/count holds one point.
bool isNet(const std::vector<glm::vec2>& points) {
    const auto count = static_cast<std::uint32_t>(points.size());
    for (std::uint32_t columns = 1; columns <= count; columns *= 2) {
        std::set<std::uint32_t> seen;
        const std::uint32_t rows = count / columns;
        for (const glm::vec2& p : points) {
            const auto x = static_cast<std::uint32_t>(p.x * static_cast<float>(columns));
            const auto y = static_cast<std::uint32_t>(p.y * static_cast<float>(rows));
            seen.insert(y * columns + x);
        }
        if (seen.size() != count) return false;
    }
    return true;
}

}  // namespace

TEST_CASE("sobol: the bit-matrix trick equals the walk over direction numbers", "[sampler]") {
    for (std::uint32_t i = 0; i < 100000; ++i) {
        const std::uint32_t index = i < 50000 ? i : mix32(i);
        REQUIRE(reverseBits(sobolSecondReversed(index)) == sobolSecondByColumns(index));
    }
}

TEST_CASE("each prefix of 2^k points is a (0,2)-net, in every pair of every stream", "[sampler]") {
    for (const std::uint32_t stream : {0U, 1U, 77U, 4000000000U}) {
        for (const int dimension : {0, 1, 9}) {
            const auto points = pairs(stream, dimension, 4096);
            for (int k = 0; k <= 12; ++k) {
                INFO("stream " << stream << " dimension " << dimension << " k " << k);
                CHECK(isNet({points.begin(), points.begin() + (1 << k)}));
            }
        }
    }
}

TEST_CASE("next1D: each prefix of 2^k points has one in every 2^-k", "[sampler]") {
    for (const int count : {1, 2, 16, 1024}) {
        std::set<int> seen;
        for (int i = 0; i < count; ++i) {
            PathSampler s(7U, 5U, static_cast<std::uint32_t>(i));
            s.next2D();
            seen.insert(static_cast<int>(s.next1D() * static_cast<float>(count)));
        }
        CHECK(static_cast<int>(seen.size()) == count);
    }
}

TEST_CASE("owen scrambling is a tree: a bit depends on the higher bits only", "[sampler]") {
    // Owen 1995: points that agree in their first k digits agree in the first k scrambled digits.
    for (std::uint32_t i = 1; i < 2000; ++i) {
        const std::uint32_t x = mix32(i), seed = mix32(i + 100000U);
        for (std::uint32_t bit = 0; bit < 32; ++bit) {
            const std::uint32_t change = owenScramble(x, seed) ^ owenScramble(x ^ (1U << bit), seed);
            REQUIRE((change >> bit) == 1U);
        }
    }
}

TEST_CASE("hash: half of the output bits turn with each input bit", "[sampler]") {
    // Strict avalanche (Webster & Tavares 1985): 0.5 each, sd 0.005 over 10000 inputs; 1024 cells.
    double worst = 0.0;
    for (std::uint32_t in = 0; in < 32; ++in) {
        int turned[32] = {};
        for (std::uint32_t i = 0; i < 10000; ++i) {
            const std::uint32_t change = mix32(i * 40503U) ^ mix32((i * 40503U) ^ (1U << in));
            for (std::uint32_t out = 0; out < 32; ++out) turned[out] += (change >> out) & 1U;
        }
        for (const int t : turned) worst = std::max(worst, std::abs(t / 10000.0 - 0.5));
    }
    CHECK(worst < 0.03);
}

TEST_CASE("streams of one seed never share a scrambling", "[sampler]") {
    std::vector<std::uint32_t> keys;
    for (std::uint32_t i = 0; i < 1000000; ++i) keys.push_back(combine32(3U, i));
    std::sort(keys.begin(), keys.end());
    CHECK(std::adjacent_find(keys.begin(), keys.end()) == keys.end());
}

TEST_CASE("values are evenly spread over streams: mean 1/2, and no two words tied", "[sampler]") {
    // First point of many streams: x, y, the next pair's x, a 1-D number: each uniform, uncorrelated,
    // also in the top bit (where a weak seeding shows first).
    constexpr int kStreams = 200000;
    double mean[4] = {}, product[4][4] = {}, sign[4][4] = {};
    for (std::uint32_t s = 0; s < kStreams; ++s) {
        PathSampler sampler(11U, s, 0U);
        const glm::dvec2 a(sampler.next2D());
        const glm::dvec2 b(sampler.next2D());
        const double v[4] = {a.x - 0.5, a.y - 0.5, b.x - 0.5, static_cast<double>(sampler.next1D()) - 0.5};
        for (int i = 0; i < 4; ++i) {
            mean[i] += v[i];
            for (int j = 0; j < i; ++j) {
                product[i][j] += v[i] * v[j];
                sign[i][j] += (v[i] < 0) == (v[j] < 0) ? 1.0 : -1.0;
            }
        }
    }
    const double root = std::sqrt(static_cast<double>(kStreams));
    for (int i = 0; i < 4; ++i) {
        CHECK(std::abs(mean[i]) < 4.5 * std::sqrt(1.0 / 12) * root);
        for (int j = 0; j < i; ++j) {
            INFO(i << " with " << j);
            CHECK(std::abs(product[i][j]) < 4.5 / 12 * root);
            CHECK(std::abs(sign[i][j]) < 4.5 * root);
        }
    }
}

TEST_CASE("x and y of a pair are scrambled independently", "[sampler]") {
    // Owen 1995 on 4 points: each axis has three coins, one for the halves and one for the quarters of
    // either half, so 64 equally likely outcomes. All are tried on Sobol's first four points here;
    // the sampler must show the same patterns equally often. With one seed for both axes every net
    // stays a net and every mean stays right, but the second coins of the axes are tied.
    const auto scramble = [](int cell, int coins) {
        const int half = (cell >> 1) ^ (coins & 1);
        return 2 * half + ((cell & 1) ^ ((coins >> (1 + (cell >> 1))) & 1));
    };
    double expected[256] = {};  // index: the quarters of y, in the order of x, two bits each
    for (int coins = 0; coins < 64; ++coins) {
        constexpr int kX[4] = {0, 2, 1, 3}, kY[4] = {0, 2, 3, 1};
        int pattern = 0;
        for (int i = 0; i < 4; ++i) pattern |= scramble(kY[i], coins >> 3) << 2 * scramble(kX[i], coins & 7);
        expected[pattern] += 1.0 / 64;
    }
    constexpr int kStreams = 40000;
    double found[256] = {};
    for (std::uint32_t stream = 0; stream < kStreams; ++stream) {
        int pattern = 0;
        for (const glm::vec2& p : pairs(stream, 0, 4)) {
            pattern |= static_cast<int>(4.0F * p.y) << 2 * static_cast<int>(4.0F * p.x);
        }
        found[pattern] += 1.0 / kStreams;
    }
    for (int pattern = 0; pattern < 256; ++pattern) {
        const double p = expected[pattern];
        INFO("pattern " << pattern);
        CHECK_THAT(found[pattern], WithinAbs(p, 4.5 * std::sqrt(p * (1.0 - p) / kStreams) + 1e-9));
    }
}

TEST_CASE("padded pairs are independent of each other within a stream", "[sampler]") {
    // Count how often pair 0's x and pair 3's y are both in their lower half, over a net of 64. Of two
    // neighbouring indices each has one below in x and one in y; Owen's shuffles flip them
    // independently, so the count is that of 32 fair coins: mean 16, variance 8. A shared shuffle
    // gives 0 or 64 or a net's exact 16.
    double sum = 0.0, squares = 0.0;
    constexpr int kStreams = 20000;
    for (std::uint32_t s = 0; s < kStreams; ++s) {
        int both = 0;
        for (std::uint32_t i = 0; i < 64; ++i) {
            PathSampler sampler(2U, s, i);
            const float x = sampler.next2D().x;
            sampler.next2D();
            sampler.next1D();
            both += x < 0.5F && sampler.next2D().y < 0.5F;
        }
        sum += both;
        squares += static_cast<double>(both) * both;
    }
    const double mean = sum / kStreams;
    const double variance = squares / kStreams - mean * mean;
    CHECK_THAT(mean, WithinAbs(16.0, 4.5 * std::sqrt(8.0 / kStreams)));
    CHECK_THAT(variance, WithinAbs(8.0, 4.5 * 8.0 * std::sqrt(2.0 / kStreams)));
}

TEST_CASE("the spread of replicates is an honest error: f(x, y, z) of known integral", "[sampler]") {
    // 16 replicates of 64 points, as a reading has; the integral of exp(-x) step(y < z) is (1-1/e)/2.
    // Over 4000 readings (mean - truth)^2 must average to the variance the replicates state, and
    // their normalised error must be Student's: sd of t with 15 degrees is sqrt(15/13) = 1.074.
    const double truth = (1.0 - std::exp(-1.0)) / 2;
    double stated = 0.0, actual = 0.0, t2 = 0.0;
    constexpr std::uint32_t kReadings = 4000;
    for (std::uint32_t reading = 0; reading < kReadings; ++reading) {
        double sum = 0.0, squares = 0.0;
        for (std::uint32_t r = 0; r < 16; ++r) {
            double mean = 0.0;
            for (std::uint32_t i = 0; i < 64; ++i) {
                PathSampler s(5U, reading * 16 + r, i);
                const glm::dvec2 a(s.next2D());
                mean += a.y < static_cast<double>(s.next1D()) ? std::exp(-a.x) / 64 : 0.0;
            }
            sum += mean;
            squares += mean * mean;
        }
        const double m = sum / 16;
        const double v = (squares / 16 - m * m) / 15;
        stated += v;
        actual += (m - truth) * (m - truth);
        t2 += (m - truth) * (m - truth) / v;
    }
    // relative sd of a mean of chi-square(1) over 4000: sqrt(2/4000) = 2.2 %
    CHECK_THAT(actual / stated, WithinAbs(1.0, 4.5 * 0.023));
    CHECK_THAT(std::sqrt(t2 / kReadings), WithinAbs(std::sqrt(15.0 / 13), 0.06));
}

TEST_CASE("a net of 256 beats independent numbers tenfold in error on a smooth function", "[sampler]") {
    // Integral of x y^2 = 1/6. Owen 1997: error of order N^-1.5 for smooth f, against N^-0.5.
    double net = 0.0, independent = 0.0;
    for (std::uint32_t stream = 0; stream < 200; ++stream) {
        double a = 0.0, b = 0.0;
        for (std::uint32_t i = 0; i < 256; ++i) {
            const glm::dvec2 p(PathSampler(1U, stream, i).next2D());
            const glm::dvec2 q(IndependentSampler(1U, stream, i).next2D());
            a += p.x * p.y * p.y / 256;
            b += q.x * q.y * q.y / 256;
        }
        net += (a - 1.0 / 6) * (a - 1.0 / 6);
        independent += (b - 1.0 / 6) * (b - 1.0 / 6);
    }
    CHECK(net * 100 < independent);
    // variance of x y^2 is 1/15 - 1/36 = 0.03889; 200 streams: sd of the ratio 10 %
    CHECK_THAT(independent / 200 * 256 / (1.0 / 15 - 1.0 / 36), WithinAbs(1.0, 0.45));
}

TEST_CASE("the largest value is below 1 and is 1 - 2^-24", "[sampler]") {
    CHECK(unitFloat(0xffffffffU) == 1.0F - 0x1p-24F);
    CHECK(unitFloat(0U) == 0.0F);
}

}  // namespace keyfall::test
