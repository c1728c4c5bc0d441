// GGX facets: what the distribution, Smith's masking and visible normals must integrate to.
// Source: Heitz, JCGT 3(2), 2014; Walter et al. 2007. Not here: whole materials (bsdf_test.cpp).
#include "renderer/optics/microfacet.h"

#include <catch2/catch.hpp>

#include "renderer/optics/energy_table.h"
#include "renderer/optics/fresnel.h"
#include "tests/optics/bsdf_cases.h"
#include "tests/optics/chi_square.h"

using namespace keyfall;
using namespace keyfall::test;
using Catch::Matchers::WithinAbs;

namespace {

/// Midpoint rule over facet normals, dense toward the normal: mu = 1 - v^2 near the peak.
template <class F>
double overHemisphere(F&& f) {
    const int rings = 600, sectors = 128;
    double sum = 0.0;
    for (int r = 0; r < rings; ++r) {
        const double v = (r + 0.5) / rings;
        const double mu = 1.0 - v * v * v;
        double ring = 0.0;
        for (int s = 0; s < sectors; ++s) {
            ring += static_cast<double>(f(direction(mu, 2.0 * kPi * (s + 0.5) / sectors)));
        }
        sum += ring * 3.0 * v * v;
    }
    return sum * 2.0 * kPi / (rings * sectors);
}

/// Single-scattering albedo at F = 1 by the visible-normal draw, v = sqrt(1 - u.y) in equal steps.
double singleScattering(const Ggx& g, glm::vec3 wo) {
    const int rings = 400, sectors = 96;
    double sum = 0.0;
    for (int r = 0; r < rings; ++r) {
        const double v = (r + 0.5) / rings;
        for (int s = 0; s < sectors; ++s) {
            const glm::vec2 u{static_cast<float>((s + 0.5) / sectors),
                              static_cast<float>(1.0 - v * v)};
            const glm::vec3 h = sampleVisibleNormal(g, wo, u);
            const glm::vec3 wi = 2.0F * glm::dot(wo, h) * h - wo;
            if (wi.z <= 0.0F) continue;
            sum += 2.0 * v * static_cast<double>(reflectedLobe_perSr(g, wo, wi, h)) /
                   static_cast<double>(reflectedPdf_perSr(g, wo, h));
        }
    }
    return sum / (rings * sectors);
}

const Ggx kWidths[] = {{0.05F, 0.05F}, {0.3F, 0.3F}, {1.0F, 1.0F}, {0.5F, 0.1F}};

}  // namespace

TEST_CASE("GGX: facets project to the whole surface", "[microfacet][law]") {
    for (const Ggx& g : kWidths) {
        const double area = overHemisphere([&](glm::vec3 h) { return ggxD(g, h) * h.z; });
        INFO("widths " << g.ax << " " << g.ay);
        CHECK_THAT(area, WithinAbs(1.0, 1e-3));
    }
}

TEST_CASE("GGX: half the projected area lies inside tan = alpha", "[microfacet][law]") {
    // From the distribution function tan^2 = alpha^2 xi / (1 - xi) at xi = 1/2.
    const float alpha = 0.3F;
    const double inside = overHemisphere([&](glm::vec3 h) {
        return h.x * h.x + h.y * h.y < alpha * alpha * h.z * h.z ? ggxD({alpha, alpha}, h) * h.z
                                                                 : 0.0F;
    });
    CHECK_THAT(inside, WithinAbs(0.5, 2e-3));
}

TEST_CASE("Smith: the facets seen from any side cover the surface seen", "[microfacet][law]") {
    // int D G1(o) <o.h> dh = z_o; divided by z_o, the visible-normal density integrates to 1.
    for (const Ggx& g : kWidths) {
        for (double mu : {1.0, 0.6, 0.2}) {
            const glm::vec3 wo = direction(mu, 0.7);
            INFO("widths " << g.ax << " " << g.ay << " mu " << mu);
            CHECK_THAT(
                overHemisphere([&](glm::vec3 h) { return visibleNormalPdf_perSr(g, wo, h); }),
                WithinAbs(1.0, 2e-3));
        }
    }
}

TEST_CASE("weak white furnace: one bounce without shadowing loses nothing over the sphere",
          "[microfacet][law]") {
    // int D(h) G1(o) / (4 z_o) dwi = 1 over all directions.
    for (const auto& [alpha, mu] : {std::pair{0.5F, 0.5}, std::pair{1.0F, 0.2}}) {
        const Ggx g{alpha, alpha};
        const glm::vec3 wo = direction(mu, 0.0);
        const int rings = 1000, sectors = 500;
        double sum = 0.0;
        for (int r = 0; r < rings; ++r) {
            for (int s = 0; s < sectors; ++s) {
                const glm::vec3 wi =
                    direction(-1.0 + 2.0 * (r + 0.5) / rings, 2.0 * kPi * (s + 0.5) / sectors);
                const glm::vec3 h = glm::normalize(wo + wi);
                if (h.z > 0.0F) sum += static_cast<double>(reflectedPdf_perSr(g, wo, h));
            }
        }
        CHECK_THAT(sum * 4.0 * kPi / (rings * sectors), WithinAbs(1.0, 1e-3));
    }
}

TEST_CASE("GGX: a single bounce loses exactly the tabled energy", "[microfacet][law]") {
    // F = 1, height-correlated Smith; the table was made by quadrature of the published formulas,
    // outside this project's code, three digits; its alpha = .1 row stands up to .0014 beside the
    // one-dimensional integral of the next test, which is exact, so the allowance is .0015.
    const double mus[] = {.1, .3, .5, .7, .9, 1.0};
    const struct {
        float alpha;
        double e[6], mean;
    } rows[] = {{.1F, {.884, .936, .968, .981, .986, .987}, .972},
                {.2F, {.891, .862, .895, .924, .942, .948}, .915},
                {.3F, {.889, .818, .822, .844, .867, .877}, .847},
                {.5F, {.860, .745, .698, .683, .684, .688}, .700},
                {.7F, {.821, .669, .590, .543, .514, .504}, .566},
                {1.0F, {.760, .560, .451, .379, .328, .307}, .409}};
    for (const auto& row : rows) {
        const Ggx g{row.alpha, row.alpha};
        for (int i = 0; i < 6; ++i) {
            INFO("alpha " << row.alpha << " mu " << mus[i]);
            const double exact = singleScattering(g, direction(mus[i], 0.0));
            CHECK_THAT(exact, WithinAbs(row.e[i], 1.5e-3));
            CHECK_THAT(static_cast<double>(ggxAlbedo(row.alpha, static_cast<float>(mus[i]))),
                       WithinAbs(exact, 1.5e-3));
        }
        CHECK_THAT(static_cast<double>(ggxAlbedoMean(row.alpha)), WithinAbs(row.mean, 1e-3));
    }
}

TEST_CASE("GGX: the loss at normal incidence is a one-dimensional integral", "[microfacet][law]") {
    // mu = 1: h at angle t, wi at 2t, dwi = 4 cos t dh, so E = int D G1(2t) cos t 2 pi sin t dt up
    // to 45 degrees. In double, from the published D and Lambda.
    for (double a : {.1, .2, .3, .5, .7, 1.0}) {
        const int n = 20000;
        double sum = 0.0;
        for (int i = 0; i < n; ++i) {
            const double t = (i + 0.5) / n * kPi / 4.0;
            const double c = std::cos(t), s = std::sin(t);
            const double d = 1.0 / (kPi * a * a * std::pow(c * c + s * s / (a * a), 2.0));
            const double tan2 = std::pow(std::tan(2.0 * t), 2.0);
            const double lambda = 0.5 * (std::sqrt(1.0 + a * a * tan2) - 1.0);
            sum += d / (1.0 + lambda) * c * 2.0 * kPi * s;
        }
        const double exact = sum * kPi / 4.0 / n;
        const auto alpha = static_cast<float>(a);
        INFO("alpha " << a << ": " << exact);
        CHECK_THAT(singleScattering({alpha, alpha}, {0, 0, 1}), WithinAbs(exact, 3e-4));
        CHECK_THAT(static_cast<double>(ggxAlbedo(alpha, 1.0F)), WithinAbs(exact, 5e-4));
    }
}

TEST_CASE("GGX: visible-normal draw and plain integration of the lobe agree", "[microfacet][law]") {
    for (const Ggx& g : {Ggx{0.3F, 0.3F}, Ggx{0.8F, 0.8F}, Ggx{0.7F, 0.2F}}) {
        const glm::vec3 wo = direction(0.5, 0.5);
        const double plain = overHemisphere([&](glm::vec3 wi) {
            return wi.z > 0.0F ? reflectedLobe_perSr(g, wo, wi, glm::normalize(wo + wi)) : 0.0F;
        });
        INFO("widths " << g.ax << " " << g.ay);
        CHECK_THAT(singleScattering(g, wo), WithinAbs(plain, 1e-3));
    }
}

TEST_CASE("albedo tables: within 2e-3 of the integrals, stretched lobes too", "[microfacet]") {
    Uniform random(7U);
    double round = 0.0, stretched = 0.0;
    for (int i = 0; i < 40; ++i) {
        const float roughness = 0.05F + 0.95F * random.one();
        const float mu = 0.03F + 0.97F * random.one();
        const Ggx g = ggxOf(roughness, 0.9F * random.one(), kSpecularAlpha);
        const glm::vec3 wo =
            direction(static_cast<double>(mu), 6.28 * static_cast<double>(random.one()));
        const float alpha = roughness * roughness;
        round = std::max(round, std::abs(static_cast<double>(ggxAlbedo(alpha, mu)) -
                                         singleScattering({alpha, alpha}, wo)));
        stretched =
            std::max(stretched, std::abs(static_cast<double>(StretchedAlbedo(g.ax, g.ay)(wo)) -
                                         singleScattering(g, wo)));
    }
    INFO("round " << round << ", stretched " << stretched);
    CHECK(round < 2e-3);
    CHECK(stretched < 3e-3);
}

TEST_CASE("albedo tables: a smooth coat reflects as Fresnel says", "[microfacet][law]") {
    for (float mu : {0.1F, 0.4F, 1.0F}) {
        CHECK_THAT(coatAlbedo(1.5F, 0.0F, mu), WithinAbs(fresnelDielectric(mu, 1.5F), 1e-3F));
    }
    CHECK_THAT(coatAlbedoMean(1.5F, 0.0F), WithinAbs(averageFresnelDielectric(1.5F), 5e-4F));
    CHECK_THAT(coatAlbedoMean(2.417F, 0.0F), WithinAbs(averageFresnelDielectric(2.417F), 5e-4F));
}

TEST_CASE("visible normals: draws follow the stated density", "[microfacet][chi2]") {
    for (const Ggx& g : {Ggx{0.2F, 0.2F}, Ggx{1.0F, 1.0F}, Ggx{0.6F, 0.15F}}) {
        for (double mu : {0.95, 0.3}) {
            const glm::vec3 wo = direction(mu, 0.7);
            SphereGrid grid;
            grid.cosMin = 0.0;
            grid.splits = 1;
            const ChiSquare result = chiSquare(
                grid, 100000, 3U,
                [&](Uniform& random) -> std::optional<glm::vec3> {
                    return sampleVisibleNormal(g, wo, random.two());
                },
                [&](glm::vec3 h) { return visibleNormalPdf_perSr(g, wo, h); });
            INFO("widths " << g.ax << " " << g.ay << " mu " << mu << ": " << result.summary);
            CHECK(result.passes());
        }
    }
}
