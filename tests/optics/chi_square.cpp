// The statistics behind chi_square.h. Not here: sampling and integrating (templates there).
#include "tests/optics/chi_square.h"

#include <catch2/catch.hpp>

namespace keyfall::test {

namespace {

constexpr double kPi = 3.14159265358979323846;

/// Upper tail of the chi-square distribution by the cube-root approximation: (X/k)^(1/3) is nearly
/// normal with mean 1 - 2/(9k) and variance 2/(9k).
/// Source: Wilson & Hilferty, PNAS 17 (1931) 684.
double chiSquareTail(double statistic, double degrees) {
    const double variance = 2.0 / (9.0 * degrees);
    const double z = (std::cbrt(statistic / degrees) - (1.0 - variance)) / std::sqrt(variance);
    return 0.5 * std::erfc(z / std::sqrt(2.0));
}

}  // namespace

glm::vec3 SphereGrid::direction(int ring, int sector, double s, double t) const {
    const double cosTheta = cosMin + (1.0 - cosMin) * (ring + s) / rings;
    const double sinTheta = std::sqrt(std::max(0.0, 1.0 - cosTheta * cosTheta));
    const double phi = 2.0 * kPi * (sector + t) / sectors;
    const glm::dvec3 l{sinTheta * std::cos(phi), sinTheta * std::sin(phi), cosTheta};
    return glm::normalize(frame.toWorld(glm::vec3(l)));
}

int SphereGrid::cell(glm::vec3 direction) const {
    const glm::dvec3 l = frame.toLocal(direction);
    if (l.z < cosMin) return rings * sectors;
    const double turn = std::atan2(l.y, l.x) / (2.0 * kPi);
    const int ring = static_cast<int>((l.z - cosMin) / (1.0 - cosMin) * rings);
    const int sector = static_cast<int>((turn < 0.0 ? turn + 1.0 : turn) * sectors);
    return std::clamp(ring, 0, rings - 1) * sectors + std::clamp(sector, 0, sectors - 1);
}

ChiSquare pearson(const std::vector<double>& expected, const std::vector<double>& observed) {
    // Cochran's rule (common practice): below 5 expected draws the distribution is not chi-square.
    constexpr double kLeastExpected = 5.0;
    double pooledExpected = 0.0;
    double pooledObserved = 0.0;
    double total = 0.0;
    ChiSquare result;
    for (std::size_t c = 0; c < expected.size(); ++c) {
        total += observed[c];
        if (expected[c] < kLeastExpected) {
            pooledExpected += expected[c];
            pooledObserved += observed[c];
            continue;
        }
        const double d = observed[c] - expected[c];
        result.statistic += d * d / expected[c];
        result.degrees += 1.0;
    }
    if (pooledExpected >= kLeastExpected) {
        const double d = pooledObserved - pooledExpected;
        result.statistic += d * d / pooledExpected;
        result.degrees += 1.0;
    } else {
        // Poisson with mean < 5: more than 25 draws has a chance under 1e-10. The allowance of
        // 2e-5 of all draws is the midpoint rule's share of outline cells it saw as empty.
        result.strays = pooledObserved > 25.0 + 2e-5 * total ? static_cast<int>(pooledObserved) : 0;
    }
    result.degrees = std::max(1.0, result.degrees - 1.0);  // the counts add up to `count`
    result.pValue = chiSquareTail(result.statistic, result.degrees);
    result.summary = "chi-square " + std::to_string(result.statistic) + " over " +
                     std::to_string(result.degrees) + " degrees, p " +
                     std::to_string(result.pValue) + ", strays " + std::to_string(result.strays);
    return result;
}

TEST_CASE("chi-square: the helper's tail agrees with printed tables", "[chi2]") {
    // Abramowitz & Stegun table 26.8 (from memory): the 1 % point is 50.892 for 30 degrees of
    // freedom and 135.807 for 100.
    CHECK_THAT(chiSquareTail(50.892, 30), Catch::WithinRel(0.01, 0.01));
    CHECK_THAT(chiSquareTail(135.807, 100), Catch::WithinRel(0.01, 0.01));
}

TEST_CASE("chi-square: a density off by 6 % over half the sphere is found", "[chi2]") {
    const auto uniform = [](Uniform& random) -> std::optional<glm::vec3> {
        const double z = 1.0 - 2.0 * static_cast<double>(random.one());
        const double phi = 2.0 * kPi * static_cast<double>(random.one());
        const double s = std::sqrt(std::max(0.0, 1.0 - z * z));
        return glm::vec3(glm::dvec3(s * std::cos(phi), s * std::sin(phi), z));
    };
    const auto right = [](glm::vec3) { return 0.25 / kPi; };
    const auto wrong = [](glm::vec3 d) { return (d.x > 0.0F ? 0.265 : 0.235) / kPi; };
    const ChiSquare good = chiSquare(SphereGrid{}, 200000, 1U, uniform, right);
    INFO(good.summary);
    CHECK(good.passes());
    CHECK_THAT(good.mass, Catch::WithinRel(1.0, 1e-9));
    CHECK_FALSE(chiSquare(SphereGrid{}, 200000, 1U, uniform, wrong).passes());
}

}  // namespace keyfall::test
