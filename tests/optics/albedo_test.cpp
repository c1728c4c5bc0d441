// The share of light that a surface sends on, against what is known of it and against plain draws.
// Not here: the lobes' own furnace (furnace_test.cpp).
#include <catch2/catch.hpp>

#include "renderer/optics/directional_albedo.h"
#include "renderer/optics/sampler.h"
#include "tests/optics/bsdf_cases.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

const double kMus[] = {1.0, 0.83, 0.47, 0.21, 0.06};

/// Mean weight of independent draws, and its standard error.
struct Drawn {
    double mean = 0.0;
    double standardError = 0.0;
};
Drawn drawn(const Case& c, glm::vec3 wo, int band, std::uint32_t count) {
    Bsdf bsdf;
    bsdf.material = &c.material;
    bsdf.reflectance = c.material.reflectance;
    bsdf.transport = Transport::importance;
    double sum = 0.0, squares = 0.0;
    for (std::uint32_t i = 0; i < count; ++i) {
        IndependentSampler random(5U, 0U, i);
        const glm::vec2 u = random.next2D();
        const BsdfSample s = sample(bsdf, wo, random.next1D(), u);
        const double w = s.lobe == Lobe::none ? 0.0 : static_cast<double>(s.weight[band]);
        sum += w;
        squares += w * w;
    }
    const double mean = sum / count;
    return {mean, std::sqrt(std::max(0.0, squares / count - mean * mean) / count)};
}

}  // namespace

TEST_CASE("albedo: a matt surface its reflectance, a sheet R + T, at every angle", "[albedo][law]") {
    Case grey = diffuse(0.0F, 0.0F);
    for (int b = 0; b < kBands; ++b) grey.material.reflectance[b] = 0.05F * static_cast<float>(b + 1);
    const DirectionalAlbedo matt(grey.material);
    const DirectionalAlbedo cloth(sheet(0.6F, 0.35F, 0.1F).material);
    for (const double mu : kMus)
        for (const double side : {1.0, -1.0}) {
            CHECK(matt(direction(side * mu, 0.3))[6] == Approx(0.35));
            CHECK(cloth(direction(side * mu, 0.3))[6] == Approx(0.95));
        }
}

TEST_CASE("albedo: nothing is lost in perfect metals, rough white and clear panes", "[albedo][law]") {
    // The white furnace (Heitz, JCGT 3(2), 2014); tolerances are the lobes' own (furnace_test.cpp).
    Case pane = glass(1.5F, 0.0F);
    pane.material.thin = true;
    for (const Case& c :
         {diffuse(1.0F, 0.7F), metal(1.0F, 0.0F), metal(1.0F, 0.4F), metal(1.0F, 0.9F), pane}) {
        const DirectionalAlbedo albedo(c.material);
        for (const double mu : kMus) CHECK(albedo(direction(mu, 1.0))[3] == Approx(1.0).margin(0.005));
    }
}

TEST_CASE("albedo: a smooth metal by Schlick's formula, between the nodes too", "[albedo][law]") {
    const DirectionalAlbedo albedo(metal(0.85F, 0.0F).material);
    for (const double mu : {1.0, 0.94, 0.71, 0.33, 0.12, 0.045})
        CHECK(albedo(direction(mu, 2.0))[0] == Approx(0.85 + 0.15 * std::pow(1.0 - mu, 5.0)).margin(1e-3));
}

TEST_CASE("albedo is what draws keep, for every lobe and azimuth", "[albedo]") {
    for (const Case& c : {gold(0.5F), gold(0.7F), plastic(0.6F, 0.4F), plastic(0.6F, 0.0F),
                          diffuse(0.5F, 0.8F), metal(0.85F, 0.6F, 0.8F)}) {
        const DirectionalAlbedo albedo(c.material);
        for (const double mu : kMus) {
            const glm::vec3 wo = direction(mu, 0.9);
            const Drawn d = drawn(c, wo, 9, 20000U);
            INFO("base " << static_cast<int>(c.material.base) << " roughness " << c.material.roughness
                         << " mu " << mu << ": " << d.mean << " +- " << d.standardError);
            CHECK(static_cast<double>(albedo(wo)[9]) == Approx(d.mean).margin(4.0 * d.standardError + 0.001));
        }
    }
}

TEST_CASE("albedo: solid glass is refused", "[albedo]") {
    CHECK_THROWS_AS(DirectionalAlbedo(glass(1.5F, 0.0F).material), std::invalid_argument);
}
