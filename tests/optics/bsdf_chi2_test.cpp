// Chi-square: every BSDF draws directions with the density it states. Not here: what the density
// is for (bsdf_test.cpp).
#include <catch2/catch.hpp>

#include "tests/optics/bsdf_cases.h"
#include "tests/optics/chi_square.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

void check(const Case& c, const char* what) {
    const Bsdf bsdf = c.bsdf();
    for (double mu : {0.98, 0.5, 0.15, -0.7}) {
        const glm::vec3 wo = direction(mu, 0.7);
        SphereGrid grid;
        grid.rings = 16;
        grid.sectors = 24;
        grid.splits = 2;
        const ChiSquare result = chiSquare(
            grid, 100000, 5U,
            [&](Uniform& random) -> std::optional<glm::vec3> {
                const float choice = random.one();
                const BsdfSample s = sample(bsdf, wo, choice, random.two());
                const bool smooth = s.lobe == Lobe::diffuse || s.lobe == Lobe::glossy;
                return smooth ? std::optional<glm::vec3>(s.wi) : std::nullopt;
            },
            [&](glm::vec3 wi) { return pdf_perSr(bsdf, wo, wi); });
        INFO(what << ", mu " << mu << ": " << result.summary);
        CHECK(result.passes());
        CHECK(result.mass < 1.003);
    }
}

}  // namespace

TEST_CASE("chi-square: matt", "[bsdf][chi2]") {
    check(diffuse(0.7F, 0.0F), "Lambert");
    check(diffuse(0.7F, 0.9F), "rough");
}

TEST_CASE("chi-square: plastic", "[bsdf][chi2][long]") {
    check(plastic(0.5F, 0.0F), "mirror coat");
    check(plastic(0.5F, 0.45F), "satin coat");
    check(plastic(0.1F, 0.8F, 1.8F), "rough coat");
}

TEST_CASE("chi-square: metal", "[bsdf][chi2][long]") {
    check(gold(0.4F), "satin");
    check(metal(0.9F, 1.0F), "blasted");
    check(gold(0.6F, 0.5F), "brushed");
    check(gold(0.8F, 0.8F), "coarsely brushed");
}

TEST_CASE("chi-square: rough glass", "[bsdf][chi2][long]") {
    check(glass(1.5F, 0.5F), "1.5");
    check(glass(1.5F, 0.9F), "1.5, rough");
    check(glass(1.333F / 1.5F, 0.6F), "glass under water");
}

TEST_CASE("chi-square: sheet", "[bsdf][chi2]") {
    check(sheet(0.5F, 0.4F, 0.1F), "fabric");
}
