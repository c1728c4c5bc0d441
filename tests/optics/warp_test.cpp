// Warps: chi-square, and moments against integrals done by hand. Not here: lamps, lobes.
#include <catch2/catch.hpp>
#include <cmath>

#include "renderer/optics/warp.h"
#include "renderer/optics/warp_trig.h"
#include "tests/optics/chi_square.h"

namespace keyfall::test {

namespace {

using Catch::WithinAbs;

template <class Sample, class Pdf>
void checkDirections(Sample sample, Pdf pdf) {
    const ChiSquare x = chiSquare(
        SphereGrid{}, 200000, 41U,
        [&](Uniform& random) { return std::optional<glm::vec3>(sample(random.two())); }, pdf);
    INFO(x.summary);
    CHECK(x.passes());
    CHECK_THAT(x.mass, WithinAbs(1.0, 1e-3));
}

}  // namespace

TEST_CASE("warp: cosine hemisphere follows cos/pi", "[warp][chi2]") {
    checkDirections(sampleCosineHemisphere, [](glm::vec3 d) { return pdfCosineHemisphere_perSr(d.z); });
}

TEST_CASE("warp: uniform sphere follows 1/(4 pi)", "[warp][chi2]") {
    checkDirections(sampleUniformSphere, [](glm::vec3) { return pdfUniformSphere_perSr(); });
}

TEST_CASE("warp: dome follows (1 + cos)/(4 pi)", "[warp][chi2]") {
    checkDirections(sampleDome, [](glm::vec3 d) { return pdfDome_perSr(d.z); });
}

TEST_CASE("warp: disk is even: lifted by z = sqrt(1 - r^2) it fills cos/pi", "[warp][chi2]") {
    checkDirections(
        [](glm::vec2 u) {
            const glm::vec2 p = sampleDisk(u);
            return glm::vec3(p, std::sqrt(std::max(0.0F, 1.0F - glm::dot(p, p))));
        },
        [](glm::vec3 d) { return std::max(0.0, static_cast<double>(d.z)) / kPi; });
}

TEST_CASE("warp: mean cosines are 2/3, 0 and 1/3", "[warp]") {
    // Integrals of z cos/pi, z/(4 pi), z (1 + z)/(4 pi) over their domains: 2/3, 0, 1/3.
    double cosine = 0.0, sphere = 0.0, dome = 0.0;
    constexpr int kSide = 300;
    for (int i = 0; i < kSide * kSide; ++i) {
        const glm::vec2 u(glm::dvec2((i % kSide + 0.5) / kSide, (i / kSide + 0.5) / kSide));
        cosine += static_cast<double>(sampleCosineHemisphere(u).z);
        sphere += static_cast<double>(sampleUniformSphere(u).z);
        dome += static_cast<double>(sampleDome(u).z);
    }
    CHECK_THAT(cosine / (kSide * kSide), WithinAbs(2.0 / 3, 1e-4));
    CHECK_THAT(sphere / (kSide * kSide), WithinAbs(0.0, 1e-4));
    CHECK_THAT(dome / (kSide * kSide), WithinAbs(1.0 / 3, 1e-4));
}

TEST_CASE("warp: every corner of the square gives a unit direction", "[warp]") {
    for (const float x : {0.0F, 0.5F, 1.0F - 0x1p-24F}) {
        for (const float y : {0.0F, 0.5F, 1.0F - 0x1p-24F}) {
            for (const auto& map : {sampleCosineHemisphere, sampleUniformSphere, sampleDome}) {
                CHECK_THAT(glm::length(map({x, y})), WithinAbs(1.0, 1e-6));
            }
            CHECK(glm::length(sampleDisk({x, y})) <= 1.0F);
        }
    }
}

TEST_CASE("warp: sine, cosine and angle agree with the C library to 1e-11", "[warp]") {
    for (int i = -4000; i <= 4000; ++i) {
        const double turns = i * 0.000317;
        const SinCos s = sinCosTurns(turns);
        REQUIRE_THAT(s.sin, WithinAbs(std::sin(2 * kPi * turns), 1e-11));
        REQUIRE_THAT(s.cos, WithinAbs(std::cos(2 * kPi * turns), 1e-11));
        const double expected = std::atan2(s.sin, s.cos);
        REQUIRE_THAT(angleOf(3 * s.sin, 3 * s.cos),
                     WithinAbs(expected < 0 ? expected + 2 * kPi : expected, 1e-11));
    }
    CHECK(angleOf(0.0, 0.0) == 0.0);
}

}  // namespace keyfall::test
