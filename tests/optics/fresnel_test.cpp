// Fresnel's laws against published indices, closed forms and quadrature. Not here: lobes.
#include "renderer/optics/fresnel.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace keyfall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double kPi = 3.14159265358979323846;
float cosOf(double deg) {
    return static_cast<float>(std::cos(deg * kPi / 180.0));
}

/// Fresnel's equations in the sine/tangent form, double, an independent way to the same numbers.
/// Source: Born & Wolf, Principles of Optics, 7th ed., 1.5.2, eq. (21).
double sineForm(double deg, double eta) {
    const double i = deg * kPi / 180.0;
    const double t = std::asin(std::sin(i) / eta);
    const double s = std::sin(i - t) / std::sin(i + t);
    const double p = std::tan(i - t) / std::tan(i + t);
    return 0.5 * (s * s + p * p);
}

}  // namespace

TEST_CASE("Fresnel: tabled reflectances of water, glasses and diamond", "[fresnel][law]") {
    // Indices: water Hale & Querry 1973 (550 nm), N-BK7 Sellmeier n_d, soda-
    // lime Rubin 1985, diamond from memory. Percent, printed to four digits: half a unit, and .0005
    // for the index's own rounding.
    struct Row {
        float n;
        double percent[7];
    };
    const double angles[7] = {0, 30, 45, 60, 75, 80, 85};
    const Row rows[] = {{1.333F, {2.037, 2.144, 2.790, 5.969, 21.24, 34.79, 58.35}},
                        {1.5F, {4.000, 4.152, 5.024, 8.919, 25.31, 38.77, 61.28}},
                        {1.5168F, {4.216, 4.372, 5.260, 9.196, 25.61, 39.05, 61.46}},
                        {1.52F, {4.258, 4.414, 5.305, 9.248, 25.67, 39.10, 61.49}},
                        {2.417F, {17.20, 17.35, 18.11, 21.13, 33.05, 43.33, 62.17}}};
    for (const Row& row : rows) {
        for (int a = 0; a < 7; ++a) {
            INFO("n " << row.n << ", " << angles[a] << " degrees");
            const double r =
                100.0 * static_cast<double>(fresnelDielectric(cosOf(angles[a]), row.n));
            CHECK_THAT(r, WithinAbs(row.percent[a], row.percent[a] < 10.0 ? 0.0006 : 0.0056));
        }
    }
}

TEST_CASE("Fresnel: agrees with the sine and tangent form from both sides", "[fresnel][law]") {
    for (double eta : {1.05, 1.333, 1.52, 2.417, 1.0 / 1.52, 1.333 / 1.52}) {
        for (double deg = 2.0; deg < 88.0; deg += 4.0) {
            if (std::sin(deg * kPi / 180.0) >= 0.995 * eta) continue;
            INFO("eta " << eta << ", " << deg << " degrees");
            const auto r = fresnelDielectric(cosOf(deg), static_cast<float>(eta));
            CHECK_THAT(static_cast<double>(r), WithinRel(sineForm(deg, eta), 3e-4));
        }
    }
}

TEST_CASE("Fresnel: at Brewster's angle half of R_s is all there is", "[fresnel][law]") {
    // tan(theta_B) = n; there R_p = 0 and R_s = ((n^2-1)/(n^2+1))^2. N-BK7: 56.604 degrees.
    const double n = 1.5168;
    const double brewster = std::atan(n) * 180.0 / kPi;
    CHECK_THAT(brewster, WithinAbs(56.604, 5e-4));
    const double rs = std::pow((n * n - 1.0) / (n * n + 1.0), 2.0);
    CHECK_THAT(static_cast<double>(fresnelDielectric(cosOf(brewster), 1.5168F)),
               WithinRel(0.5 * rs, 1e-5));
}

TEST_CASE("Fresnel: total reflection sets in at the critical angle, 41.14 degrees for 1.52",
          "[fresnel][law]") {
    CHECK_THAT(std::asin(1.0 / 1.52) * 180.0 / kPi, WithinAbs(41.14, 0.005));
    CHECK(fresnelDielectric(cosOf(41.12), 1.0F / 1.52F) < 1.0F);
    CHECK(fresnelDielectric(cosOf(41.16), 1.0F / 1.52F) == 1.0F);
    CHECK(cosTransmitted(cosOf(41.16), 1.0F / 1.52F) < 0.0F);
}

TEST_CASE("Snell: 45 degrees into 1.52 goes on at 27.72", "[fresnel][law]") {
    const double t = std::acos(static_cast<double>(cosTransmitted(cosOf(45), 1.52F))) * 180.0 / kPi;
    CHECK_THAT(t, WithinAbs(27.72, 0.005));
}

TEST_CASE("Fresnel: equal media reflect nothing, grazing light reflects wholly", "[fresnel]") {
    CHECK(fresnelDielectric(0.0F, 1.0F) == 0.0F);
    CHECK(fresnelDielectric(0.5F, 1.0F) == 0.0F);
    CHECK(fresnelDielectric(0.0F, 1.5F) == 1.0F);
    CHECK(std::isfinite(fresnelConductor(0.0F, 1.0F, 0.0F)));
    CHECK_THAT(fresnelConductor(0.0F, 0.43F, 2.455F), WithinAbs(1.0F, 1e-6F));
}

TEST_CASE("Fresnel: cosine averages, closed form against quadrature and .0918 / .596",
          "[fresnel][law]") {
    // n = 1.5: .0918 outside (Walsh 1926), inside 1 - (1 - .0918)/n^2 = .596.
    CHECK_THAT(averageFresnelDielectric(1.5F), WithinAbs(0.0918F, 5e-5F));
    CHECK_THAT(averageFresnelDielectric(1.0F / 1.5F), WithinAbs(0.596F, 5e-4F));
    for (float eta : {1.0005F, 1.01F, 1.1F, 1.333F, 1.5F, 2.417F, 0.7F, 0.99F}) {
        double sum = 0.0;
        const int n = 20000;
        for (int i = 0; i < n; ++i) {
            const double mu2 = (i + 0.5) / n;  // 2 mu dmu = d(mu^2)
            sum += static_cast<double>(fresnelDielectric(static_cast<float>(std::sqrt(mu2)), eta));
        }
        INFO("eta " << eta);
        CHECK_THAT(static_cast<double>(averageFresnelDielectric(eta)), WithinAbs(sum / n, 1e-4));
    }
}

TEST_CASE("conductors: reflectance from published n and k, at 0 and 60 degrees", "[fresnel][law]") {
    // Johnson & Christy 1972 (Ag, Au, Cu), Rakic 1995 (Al); R0 = ((n-1)^2+k^2)/((n+1)^2+k^2);
    // three digits from indices of three digits: a little over half a unit.
    struct Row {
        float n, k, normal, at60;
    };
    const Row rows[] = {{.04F, 2.657F, .980F, .980F},   {.06F, 3.586F, .983F, .981F},
                        {.05F, 4.483F, .991F, .989F},   {1.38F, 1.914F, .408F, .440F},
                        {.43F, 2.455F, .787F, .788F},   {.14F, 3.697F, .963F, .958F},
                        {1.24F, 2.397F, .539F, .549F},  {1.02F, 2.577F, .620F, .622F},
                        {.22F, 3.747F, .943F, .937F},   {.608F, 5.368F, .923F, .910F},
                        {1.073F, 6.784F, .915F, .899F}, {1.572F, 7.735F, .905F, .888F}};
    for (const Row& r : rows) {
        INFO("n " << r.n << " k " << r.k);
        CHECK_THAT(fresnelConductor(1.0F, r.n, r.k), WithinAbs(r.normal, 6e-4F));
        CHECK_THAT(fresnelConductor(0.5F, r.n, r.k), WithinAbs(r.at60, 6e-4F));
    }
}

TEST_CASE("conductors: without absorption they are dielectrics", "[fresnel][law]") {
    for (float mu = 0.05F; mu < 1.0F; mu += 0.05F) {
        CHECK_THAT(fresnelConductor(mu, 1.5F, 0.0F), WithinRel(fresnelDielectric(mu, 1.5F), 1e-4F));
    }
}

TEST_CASE("slab: two surfaces with all bounces, polarisations averaged last", "[fresnel][law]") {
    // Closed form T = (1-R)/(1+R) per polarisation, n = 1.52, printed to four digits; the common
    // error, (1-R)^2 with averaged R, is off by .001 at 0 and .097 at 85 degrees.
    const double angles[] = {0, 15, 30, 45, 60, 70, 75, 80, 85};
    const float table[] = {.9183F, .9182F, .9160F, .9025F, .8435F, .7247F, .6148F, .4560F, .2456F};
    for (int i = 0; i < 9; ++i) {
        const SlabLight light = slab(cosOf(angles[i]), 1.52F, 1.0F);
        INFO(angles[i] << " degrees");
        CHECK_THAT(light.transmitted, WithinAbs(table[i], 5.1e-5F));
        CHECK_THAT(light.transmitted + light.reflected, WithinAbs(1.0F, 1e-6F));
    }
    // Normal incidence: 2n/(n^2+1).
    CHECK_THAT(slab(1.0F, 1.5F, 1.0F).transmitted, WithinRel(3.0F / 3.25F, 1e-6F));
}

TEST_CASE("slab: an absorbing pane by the geometric series of its bounces", "[fresnel][law]") {
    // 6 mm of float glass, k = 2.2e-7 at 550 nm (Rubin 1985): internal .970, T = .890.
    const double k = 2.2e-7, d_m = 6e-3, wavelength_m = 550e-9;
    const double t = std::exp(-4.0 * kPi * k * d_m / wavelength_m);
    CHECK_THAT(t, WithinAbs(0.970, 5e-4));
    const SlabLight light = slab(1.0F, 1.5234F, static_cast<float>(t));
    CHECK_THAT(light.transmitted, WithinAbs(0.890F, 6e-4F));
    // The series summed bounce by bounce.
    const double r = std::pow((1.5234 - 1.0) / (1.5234 + 1.0), 2.0);
    double through = 0.0, back = r, inside = (1.0 - r) * t;
    for (int bounce = 0; bounce < 40; ++bounce) {
        through += inside * (1.0 - r);
        inside *= r * t;
        back += inside * (1.0 - r);
        inside *= r * t;
    }
    CHECK_THAT(static_cast<double>(light.transmitted), WithinRel(through, 1e-5));
    CHECK_THAT(static_cast<double>(light.reflected), WithinRel(back, 1e-5));
}
