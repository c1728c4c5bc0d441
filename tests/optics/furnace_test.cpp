// The white furnace: in uniform surroundings a surface that loses nothing cannot be seen.
// Source: Heitz, JCGT 3(2), 2014, section 5.4 (test), and energy conservation itself.
// Not here: single-scattering losses (microfacet_test.cpp).
#include <catch2/catch.hpp>

#include "tests/optics/bsdf_cases.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

constexpr double kTolerance = 0.005;
/// Brushed lobes: the table's error where the ratio of widths is 1:10. Glass at mu = .05: the noise
/// of 32768 samples; with 131072 it is within .005.
constexpr double kBrushedTolerance = 0.007;
constexpr double kGlassTolerance = 0.01;
const double kMus[] = {1.0, 0.9, 0.7, 0.5, 0.3, 0.15, 0.05};

/// Largest distance from `expected` over angles, and over azimuths where the surface is stretched.
double worst(const Case& c, double expected, double side = 1.0, double phi = 0.4,
             int samples = 8192) {
    double most = 0.0;
    for (double mu : kMus) {
        const double seen = furnace(c, direction(side * mu, phi), samples);
        most = std::max(most, std::abs(seen - expected));
    }
    return most;
}

template <class Make>
void overRoughness(Make&& make, double side = 1.0, int samples = 8192,
                   double tolerance = kTolerance) {
    for (int r = 0; r <= 10; ++r) {
        const double off = worst(make(static_cast<float>(r) / 10.0F), 1.0, side, 0.4, samples);
        INFO("roughness " << r / 10.0 << ": off by " << off);
        CHECK(off <= tolerance);
    }
}

}  // namespace

TEST_CASE("white furnace: matt surfaces of any roughness", "[furnace][law]") {
    overRoughness([](float r) { return diffuse(1.0F, r); });
}

TEST_CASE("white furnace: a matt surface of reflectance .18 shows .18", "[furnace][law]") {
    CHECK(worst(diffuse(0.18F, 0.0F), 0.18) < 1e-5);
}

TEST_CASE("white furnace: a white body under a lossless coat", "[furnace][law]") {
    for (float ior : {1.33F, 1.5F, 1.8F}) {
        overRoughness([ior](float r) { return plastic(1.0F, r, ior); });
    }
}

TEST_CASE("white furnace: perfect metals, light between the facets included", "[furnace][law]") {
    overRoughness([](float r) { return metal(1.0F, r); });
}

TEST_CASE("white furnace: brushed perfect metals from every azimuth", "[furnace][law][long]") {
    for (float roughness : {0.1F, 0.4F, 0.6F, 0.8F}) {
        for (float anisotropy : {0.3F, 0.6F, 0.9F}) {
            for (double phi : {0.0, 0.8, 1.5708}) {
                const double off = worst(metal(1.0F, roughness, anisotropy), 1.0, 1.0, phi);
                INFO("roughness " << roughness << ", anisotropy " << anisotropy << ", azimuth "
                                  << phi << ": off by " << off);
                CHECK(off <= kBrushedTolerance);
            }
        }
    }
}

TEST_CASE("white furnace: glass from outside and from inside", "[furnace][law][long]") {
    for (float eta : {1.33F, 1.5F, 1.52F / 1.333F, 2.4F}) {
        const auto make = [eta](float r) { return glass(eta, r); };
        overRoughness(make, 1.0, 32768, kGlassTolerance);
        overRoughness(make, -1.0, 32768, kGlassTolerance);
    }
}

TEST_CASE("white furnace: equal media cannot be seen at any roughness", "[furnace][law]") {
    overRoughness([](float r) { return glass(1.0F, r); });
}

TEST_CASE("white furnace: panes and sheets show R + T", "[furnace][law]") {
    Case pane = glass(1.5F, 0.0F);
    pane.material.thin = true;
    CHECK(worst(pane, 1.0) < 1e-5);
    CHECK(worst(sheet(0.6F, 0.35F, 0.1F), 0.95) < 1e-4);
    CHECK(worst(sheet(0.6F, 0.35F, 0.1F), 0.95, -1.0) < 1e-4);
}

TEST_CASE("energy: no surface returns more than it receives", "[furnace][law]") {
    for (float roughness : {0.0F, 0.2F, 0.5F, 1.0F}) {
        for (double mu : kMus) {
            INFO("roughness " << roughness << " mu " << mu);
            const glm::vec3 wo = direction(mu, 1.0);
            CHECK(furnace(gold(roughness), wo) < 1.0);
            CHECK(furnace(gold(roughness, 0.8F), wo) < 1.0);
            CHECK(furnace(plastic(0.9F, roughness), wo) < 1.0);
            CHECK(furnace(diffuse(0.9F, roughness), wo) < 1.0);
        }
    }
}
