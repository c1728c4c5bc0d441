// What every BSDF owes: reciprocity, stated densities, agreement of two techniques, and the laws of
// sheets, panes and smooth glass. Not here: furnaces, chi-square.
#include <catch2/catch.hpp>

#include "renderer/optics/fresnel.h"
#include "tests/optics/bsdf_cases.h"
#include "tests/optics/chi_square.h"

using namespace keyfall;
using namespace keyfall::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

std::vector<Case> scatterers() {
    return {diffuse(0.7F, 0.0F), diffuse(0.7F, 0.8F),       plastic(0.5F, 0.0F),
            plastic(0.5F, 0.5F), plastic(0.8F, 0.9F, 1.8F), gold(0.4F),
            gold(0.7F, 0.6F),    metal(0.8F, 1.0F),         glass(1.5F, 0.4F),
            glass(1.5F, 0.8F),   glass(0.75F, 0.6F),        sheet(0.5F, 0.4F, 0.1F)};
}

glm::vec3 anywhere(Uniform& random) {
    const double mu = 2.0 * static_cast<double>(random.one()) - 1.0;
    return direction(mu, 2.0 * kPi * static_cast<double>(random.one()));
}

double f(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return static_cast<double>(evaluate(bsdf, wo, wi)[0]) / std::abs(static_cast<double>(wi.z));
}

std::string nameOf(const Case& c) {
    return c.name + " roughness " + std::to_string(c.material.roughness) + " anisotropy " +
           std::to_string(c.material.anisotropy) + " eta " + std::to_string(c.etaRatio);
}

}  // namespace

TEST_CASE("reciprocity: f / n^2 is the same both ways (Helmholtz; Veach 1997, 5.2)",
          "[bsdf][law]") {
    for (const Case& c : scatterers()) {
        Uniform random(11U);
        for (int i = 0; i < 400; ++i) {
            const glm::vec3 a = anywhere(random);
            const glm::vec3 b = anywhere(random);
            if (std::abs(a.z) < 0.02F || std::abs(b.z) < 0.02F) continue;
            const double there = f(c.bsdf(), a, b) / indexSquared(c, a);
            const double back = f(c.bsdf(), b, a) / indexSquared(c, b);
            INFO(nameOf(c) << " a.z " << a.z << " b.z " << b.z);
            CHECK_THAT(there, WithinRel(back, 1e-5) || WithinAbs(back, 1e-7));
        }
    }
}

TEST_CASE("importance and radiance are each other's adjoint", "[bsdf][law]") {
    // What a light path carries from o to i is what an eye path carries from i to o.
    for (const Case& c : scatterers()) {
        Uniform random(12U);
        for (int i = 0; i < 100; ++i) {
            const glm::vec3 a = anywhere(random);
            const glm::vec3 b = anywhere(random);
            if (std::abs(a.z) < 0.02F || std::abs(b.z) < 0.02F) continue;
            INFO(nameOf(c));
            const double light = f(c.bsdf(Transport::importance), a, b);
            CHECK_THAT(light,
                       WithinRel(f(c.bsdf(), b, a), 1e-5) || WithinAbs(f(c.bsdf(), b, a), 1e-7));
        }
    }
}

TEST_CASE("sample: its density is pdf(), its weight f cos / pdf", "[bsdf]") {
    for (const Case& c : scatterers()) {
        const Bsdf bsdf = c.bsdf();
        Uniform random(13U);
        int smooth = 0;
        for (int i = 0; i < 1000; ++i) {
            const glm::vec3 wo = anywhere(random);
            const float choice = random.one();
            const BsdfSample s = sample(bsdf, wo, choice, random.two());
            if (s.lobe != Lobe::diffuse && s.lobe != Lobe::glossy) continue;
            ++smooth;
            INFO(nameOf(c) << " wo.z " << wo.z << " wi.z " << s.wi.z);
            CHECK_THAT(glm::length(s.wi), WithinAbs(1.0F, 1e-5F));
            CHECK(s.pdf_perSr > 0.0F);
            CHECK_THAT(pdf_perSr(bsdf, wo, s.wi), WithinRel(s.pdf_perSr, 2e-3F));
            CHECK_THAT(s.weight[0] * s.pdf_perSr, WithinRel(evaluate(bsdf, wo, s.wi)[0], 2e-3F));
            CHECK(s.transmitted == (wo.z * s.wi.z < 0.0F));
        }
        INFO(nameOf(c));
        CHECK(smooth > 200);
    }
}

TEST_CASE("two techniques: the sum over the sphere is what sampling returns", "[bsdf][law][long]") {
    for (const Case& c :
         {diffuse(0.7F, 0.0F), diffuse(0.7F, 0.8F), plastic(0.5F, 0.6F), plastic(0.8F, 0.9F, 1.8F),
          gold(0.6F), gold(0.7F, 0.5F), metal(0.8F, 1.0F), glass(1.5F, 0.6F), glass(1.5F, 0.9F),
          glass(0.75F, 0.7F)}) {
        for (double mu : {0.9, 0.4, -0.6}) {
            const glm::vec3 wo = direction(mu, 0.8);
            INFO(nameOf(c) << " mu " << mu);
            CHECK_THAT(furnace(c, wo, 65536), WithinAbs(furnaceByGrid(c, wo), 2e-3));
        }
    }
}

TEST_CASE("evaluateSplit: the two parts are the whole, a matt surface has no highlight", "[bsdf]") {
    for (const Case& c : scatterers()) {
        Uniform random(14U);
        for (int i = 0; i < 50; ++i) {
            const glm::vec3 a = anywhere(random);
            const glm::vec3 b = anywhere(random);
            const SplitValue s = evaluateSplit(c.bsdf(), a, b);
            INFO(nameOf(c));
            CHECK_THAT(s.diffuse[3] + s.specular[3], WithinRel(evaluate(c.bsdf(), a, b)[3], 1e-5F));
            if (c.material.base == Base::diffuse) CHECK(s.specular.isBlack());
            if (c.material.base == Base::metal) CHECK(s.diffuse.isBlack());
        }
    }
    const Case black = plastic(0.0F, 0.3F);
    const SplitValue s = evaluateSplit(black.bsdf(), direction(0.7, 0.0), direction(0.7, kPi));
    CHECK(s.diffuse.isBlack());
    CHECK(s.specular[0] > 0.0F);
}

TEST_CASE("matt: roughness 0 is Lambert's law, rho / pi", "[bsdf][law]") {
    const Case c = diffuse(0.18F, 0.0F);
    for (double mu : {1.0, 0.5, 0.01}) {
        CHECK_THAT(f(c.bsdf(), direction(0.3, 1.0), direction(mu, 2.0)),
                   WithinRel(0.18 / kPi, 1e-6));
    }
}

TEST_CASE("matt: the single bounce of the rough lobe has its closed-form albedo", "[bsdf][law]") {
    // Portsmouth, Kutz & Hill 2024: E = A + (rA/pi) G,
    // G = sin (theta - sin cos) + 2/3 (tan (1 - sin^3) - sin). At small rho one bounce is all.
    const float rho = 1e-4F;
    for (float r : {0.2F, 0.6F, 1.0F}) {
        for (double mu : {0.9, 0.5, 0.2}) {
            const double s = std::sqrt(1.0 - mu * mu);
            const double g =
                s * (std::acos(mu) - s * mu) + 2.0 / 3.0 * (s / mu * (1.0 - s * s * s) - s);
            const double a = 1.0 / (1.0 + (0.5 - 2.0 / (3.0 * kPi)) * static_cast<double>(r));
            const double expected = a + static_cast<double>(r) * a / kPi * g;
            const double got =
                furnaceByGrid(diffuse(rho, r), direction(mu, 0.3)) / static_cast<double>(rho);
            INFO("r " << r << " mu " << mu);
            CHECK_THAT(got, WithinRel(expected, 1e-3));
        }
    }
}

TEST_CASE("metals: a mirror reflects by Fresnel into the mirror direction", "[bsdf][law]") {
    const Case c = gold(0.0F);
    const BsdfSample s = sample(c.bsdf(), direction(0.5, 0.4), 0.5F, {0.5F, 0.5F});
    CHECK(s.lobe == Lobe::specular);
    CHECK_THAT(s.weight[5],
               WithinAbs(0.788F, 6e-4F));  // Johnson & Christy 1972, 549 nm, 60 degrees
    CHECK(glm::length(s.wi - direction(0.5, 0.4 + kPi)) < 1e-6F);
    CHECK_FALSE(hasSmoothLobe(c.bsdf()));
}

TEST_CASE("metals: narrow lobes tend to the mirror's reflectance", "[bsdf][law]") {
    for (double mu : {1.0, 0.5, 0.2}) {
        const float exact = fresnelConductor(static_cast<float>(mu), 0.43F, 2.455F);
        CHECK_THAT(furnace(gold(0.05F), direction(mu, 0.0)),
                   WithinAbs(static_cast<double>(exact), 2e-3));
    }
}

TEST_CASE("plastic: the gloss is Fresnel's share, the body keeps its reflectance", "[bsdf][law]") {
    // A black body leaves the coat alone: 4 % at normal incidence for n = 1.5.
    CHECK_THAT(furnace(plastic(0.0F, 0.0F), direction(1.0, 0.0)), WithinAbs(0.04, 1e-5));
    // Gloss excluded, a body of reflectance rho shows rho (1 - F).
    CHECK_THAT(furnaceByGrid(plastic(0.5F, 0.0F), direction(1.0, 0.0)),
               WithinAbs(0.5 * 0.96, 1e-3));
}

TEST_CASE("glass: rays refract by Snell, 45 to 27.72 degrees for 1.52, radiance by n^2",
          "[bsdf][law]") {
    const Case c = glass(1.52F, 0.0F);
    const glm::vec3 wo = direction(std::sqrt(0.5), 0.0);
    const BsdfSample in = sample(c.bsdf(), wo, 0.9F, {});
    CHECK(in.transmitted);
    CHECK_THAT(std::acos(-static_cast<double>(in.wi.z)) * 180.0 / kPi, WithinAbs(27.72, 0.005));
    CHECK(in.wi.x < 0.0F);
    CHECK_THAT(in.weight[0], WithinRel(1.0F / (1.52F * 1.52F), 1e-6F));
    CHECK(sample(c.bsdf(Transport::importance), wo, 0.9F, {}).weight[0] == 1.0F);
    // Back from inside the same way, brighter by n^2.
    const BsdfSample out = sample(c.bsdf(), in.wi, 0.9F, {});
    CHECK(glm::length(out.wi - wo) < 1e-5F);
    CHECK_THAT(out.weight[0], WithinRel(1.52F * 1.52F, 1e-6F));
    // Chosen with Fresnel's probability; nothing leaves beyond 41.14 degrees.
    CHECK_THAT(1.0F - in.pdf_perSr, WithinRel(fresnelDielectric(wo.z, 1.52F), 1e-4F));
    CHECK_FALSE(sample(c.bsdf(), direction(-0.7, 0.0), 0.999F, {}).transmitted);
}

TEST_CASE("glass: equal media let light pass unturned", "[bsdf][law]") {
    const BsdfSample s = sample(glass(1.0F, 0.5F).bsdf(), direction(0.3, 1.0), 0.2F, {0.1F, 0.9F});
    CHECK(s.lobe == Lobe::straight);
    CHECK(s.weight[0] == 1.0F);
    CHECK(s.wi == -direction(0.3, 1.0));
}

TEST_CASE("pane: sampling gives the slab's two shares, and straightTransmittance", "[bsdf][law]") {
    Case c = glass(1.52F, 0.0F);
    c.material.thin = true;
    const double mus[] = {1.0, std::cos(60.0 * kPi / 180.0), std::cos(80.0 * kPi / 180.0)};
    const double expected[] = {.9183, .8435, .4560};  // slab closed form, four digits
    for (int i = 0; i < 3; ++i) {
        const BsdfSample mirror = sample(c.bsdf(), direction(mus[i], 0.0), 0.0F, {});
        const BsdfSample through = sample(c.bsdf(), direction(mus[i], 0.0), 0.9999F, {});
        CHECK(mirror.lobe == Lobe::specular);
        CHECK(through.lobe == Lobe::straight);
        const auto t = static_cast<double>(through.weight[0] * through.pdf_perSr);
        CHECK_THAT(t, WithinAbs(expected[i], 6e-5));
        CHECK_THAT(static_cast<double>(mirror.weight[0] * mirror.pdf_perSr),
                   WithinAbs(1.0 - t, 1e-5));
        CHECK_THAT(
            static_cast<double>(straightTransmittance(c.material, static_cast<float>(mus[i]))[0]),
            WithinAbs(t, 1e-6));
    }
    c.material.absorption_perM = Bands{100.0F};  // Beer-Lambert over 3 mm: exp(-0.3)
    CHECK_THAT(straightTransmittance(c.material, 1.0F)[0],
               WithinRel(slab(1.0F, 1.52F, std::exp(-0.3F)).transmitted, 1e-5F));
}

TEST_CASE("pane: slanting light is absorbed along its path inside, d / cos of the bent ray",
          "[bsdf][law]") {
    // Beer-Lambert with Snell: sin_t = sin(60)/1.52; slab per polarisation as in Born & Wolf, 1.5.2
    // and 1.6.4 without interference: T = (1-R)^2 t / (1 - R^2 t^2).
    Case c = glass(1.52F, 0.0F);
    c.material.thin = true;
    c.material.absorption_perM = Bands{100.0F};
    const double i = 60.0 * kPi / 180.0, t = std::asin(std::sin(i) / 1.52);
    const double inside = std::exp(-100.0 * 0.003 / std::cos(t));
    const double rs = std::pow(std::sin(i - t) / std::sin(i + t), 2.0);
    const double rp = std::pow(std::tan(i - t) / std::tan(i + t), 2.0);
    const auto passed = [inside](double r) {
        return (1.0 - r) * (1.0 - r) * inside / (1.0 - r * r * inside * inside);
    };
    CHECK_THAT(static_cast<double>(straightTransmittance(c.material, 0.5F)[0]),
               WithinRel(0.5 * (passed(rs) + passed(rp)), 1e-4));
}

TEST_CASE("sheet: R, T and the straight part come out as stated, A is the rest", "[bsdf][law]") {
    const Case c = sheet(0.55F, 0.36F, 0.05F);
    const Bsdf bsdf = c.bsdf();
    for (double side : {1.0, -1.0}) {
        double reflected = 0.0, passed = 0.0, straight = 0.0;
        const int n = 65536;
        for (int i = 0; i < n; ++i) {
            const Spread r = spread(i);
            const BsdfSample s = sample(bsdf, direction(side * 0.4, 0.3), r.choice, r.u);
            (s.lobe == Lobe::straight ? straight
             : s.transmitted          ? passed
                                      : reflected) += static_cast<double>(s.weight[0]) / n;
        }
        CHECK_THAT(reflected, WithinAbs(0.55, 1e-3));
        CHECK_THAT(passed, WithinAbs(0.31, 1e-3));
        CHECK_THAT(straight, WithinAbs(0.05, 1e-3));
    }
    CHECK(straightTransmittance(c.material, 0.3F)[7] == 0.05F);
    // Lambert on the other side: the same radiance in every direction.
    CHECK_THAT(f(bsdf, direction(0.4, 0.0), direction(-0.2, 2.0)), WithinRel(0.31 / kPi, 1e-5));
}

TEST_CASE("opaque materials pass nothing and look the same from both sides", "[bsdf]") {
    for (const Case& c : {diffuse(0.5F, 0.3F), plastic(0.5F, 0.4F), gold(0.5F, 0.5F)}) {
        const glm::vec3 wo = direction(0.6, 0.2), wi = direction(0.5, 2.5);
        CHECK(evaluate(c.bsdf(), wo, -wi).isBlack());
        const glm::vec3 down{1, 1, -1};
        CHECK(evaluate(c.bsdf(), wo * down, wi * down)[0] == evaluate(c.bsdf(), wo, wi)[0]);
        CHECK(straightTransmittance(c.material, 1.0F).isBlack());
    }
}

TEST_CASE("rough vertices: matt, or alpha of at least .2", "[bsdf]") {
    CHECK(isRough(diffuse(0.5F, 0.0F).bsdf()));
    CHECK_FALSE(isRough(gold(0.4F).bsdf()));  // alpha .16
    CHECK(isRough(gold(0.5F).bsdf()));        // alpha .25
    CHECK(isRough(plastic(0.5F, 0.0F).bsdf()));
    CHECK_FALSE(isRough(glass(1.5F, 0.0F).bsdf()));
    CHECK(isRough(sheet(0.5F, 0.3F, 0.1F).bsdf()));
    CHECK_FALSE(isRough(sheet(0.0F, 0.9F, 0.9F).bsdf()));
}

TEST_CASE("no direction, width or index gives NaN, infinity or a negative value", "[bsdf]") {
    std::vector<Case> cases = scatterers();
    for (float roughness : {0.0F, 0.0317F, 0.05F, 1.0F}) {
        cases.insert(cases.end(), {gold(roughness), gold(roughness, 1.0F), metal(1.0F, roughness),
                                   plastic(1.0F, roughness), plastic(0.0F, roughness, 1.0F),
                                   diffuse(1.0F, roughness)});
        for (float eta : {1.0F, 1.0001F, 0.9999F, 1.5F, 0.4F, 3.5F})
            cases.push_back(glass(eta, roughness));
    }
    std::vector<glm::vec3> directions;
    for (double mu : {1.0, 0.999999, 0.5, 1e-3, 1e-7, 1e-30, 0.0}) {
        for (double side : {1.0, -1.0}) {
            directions.push_back(direction(side * mu, 0.0));
            directions.push_back(direction(side * mu, 0.0 + kPi));
            directions.push_back(direction(side * mu, 1.3));
        }
    }
    const auto fine = [](float x) { return std::isfinite(x) && x >= 0.0F; };
    int bad = 0;
    std::string first;
    for (const Case& c : cases) {
        for (glm::vec3 wo : directions) {
            for (glm::vec3 wi : directions) {
                const float p = pdf_perSr(c.bsdf(), wo, wi);
                if (fine(evaluate(c.bsdf(), wo, wi)[0]) && fine(p)) continue;
                if (++bad == 1)
                    first = nameOf(c) + " z " + std::to_string(wo.z) + " " + std::to_string(wi.z);
            }
            for (int i = 0; i < 16; ++i) {
                Spread r = spread(i);
                if (i < 4)
                    r = {i < 2 ? 0.0F : 1.0F - 0x1p-24F, {i % 2 ? 1.0F - 0x1p-24F : 0.0F, 0.0F}};
                const BsdfSample s = sample(c.bsdf(), wo, r.choice, r.u);
                if (fine(s.weight[0]) && fine(s.pdf_perSr) &&
                    std::isfinite(s.wi.x + s.wi.y + s.wi.z))
                    continue;
                if (++bad == 1) first = nameOf(c) + " sample, z " + std::to_string(wo.z);
            }
        }
    }
    INFO(first);
    CHECK(bad == 0);
}
