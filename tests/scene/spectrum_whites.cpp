// White points and colour temperatures against CIE tables. liblcms2 is the second opinion.
// Not here: the bands (spectrum_bands.cpp).
#include <lcms2.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "scene/colour.h"
#include "scene/fine_spectrum.h"
#include "scene/spectrum_csv.h"

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

namespace {

Chromaticity whiteOf(const FineSpectrum& light) {
    return chromaticity(bandXYZ(light).total());
}

FineSpectrum shipped(const char* file, const std::string& column) {
    return resample(readSpectrumColumns(assetsDirectory() / "spectra" / file).column(column));
}

}  // namespace

TEST_CASE("white points: CIE A, D50, D55, D65 from their spectra", "[spectrum][law]") {
    // CIE 15:2018, table of illuminants. They were summed at 5 nm: 1e-4.
    const struct {
        const char* column;
        double x, y;
    } rows[] = {{"a", 0.44758, 0.40745},
                {"d50", 0.34567, 0.35851},
                {"d55", 0.33243, 0.34744},
                {"d65", 0.31272, 0.32903}};
    for (const auto& row : rows) {
        const Chromaticity c = whiteOf(shipped("cie_illuminants.csv", row.column));
        INFO(row.column << " " << c.x << " " << c.y);
        CHECK_THAT(c.x, WithinAbs(row.x, 1e-4));
        CHECK_THAT(c.y, WithinAbs(row.y, 1e-4));
    }
}

TEST_CASE("white points: daylight of the CIE method gives the official illuminants",
          "[spectrum][law]") {
    // CIE 15:2018: nominal temperatures count with c2 = 1.4380, so D65 is 6500*1.4388/1.4380 K.
    // D75 has no table here; official (0.29903, 0.31488).
    const double rows[][3] = {{5000, 0.34567, 0.35851},
                              {5500, 0.33243, 0.34744},
                              {6500, 0.31272, 0.32903},
                              {7500, 0.29903, 0.31488}};
    for (const auto& [nominal_K, x, y] : rows) {
        const Chromaticity c = whiteOf(cieDaylight(nominal_K * 1.4388 / 1.4380));
        INFO(nominal_K << ": " << c.x << " " << c.y);
        CHECK_THAT(c.x, WithinAbs(x, 1e-4));
        CHECK_THAT(c.y, WithinAbs(y, 1e-4));
    }
    // The spectrum itself, against the table of D65 (CIE 15:2018, table 5), 100 at 560 nm. M1 and
    // M2 are rounded there: a quarter of a unit.
    const FineSpectrum made = cieDaylight(6500 * 1.4388 / 1.4380);
    const FineSpectrum printed = shipped("cie_illuminants.csv", "d65");
    for (int nm = 380; nm <= 780; ++nm)
        CHECK_THAT(made.at_nm(nm), WithinAbs(printed.at_nm(nm), 0.25));
}

TEST_CASE("white points: Planckian radiators from 1850 to 10000 K", "[spectrum][law]") {
    // Computed from Planck's law with c2 = 1.438776877e-2 m K and the CIE 1931 observer.
    const double rows[][3] = {{1850, .5435, .4098}, {2000, .5267, .4133}, {2700, .4599, .4106},
                              {2856, .4475, .4074}, {3000, .4369, .4041}, {3200, .4234, .3990},
                              {3400, .4110, .3935}, {4000, .3804, .3768}, {5000, .3451, .3516},
                              {5500, .3324, .3411}, {5600, .3302, .3391}, {6500, .3135, .3237},
                              {7500, .3004, .3103}, {10000, .2807, .2884}};
    for (const auto& [temperature_K, x, y] : rows) {
        const Chromaticity c = whiteOf(planckian(temperature_K));
        INFO(temperature_K << " K: " << c.x << " " << c.y);
        CHECK_THAT(c.x, WithinAbs(x, 1e-4));
        CHECK_THAT(c.y, WithinAbs(y, 1e-4));
    }
}

TEST_CASE("white points: Planckian in CIE 1960 uv", "[spectrum][law]") {
    // Vectors of an open colour library (BSD licence), summed from 360 nm and with c2 = 1.4388e-2;
    // from 380 nm on v is 2.5e-5 higher at 7000 K.
    const double rows[][3] = {{4000, .225109670, .334387367}, {7000, .198126929, .307025981}};
    for (const auto& [temperature_K, u, v] : rows) {
        const Chromaticity c = whiteOf(planckian(temperature_K));
        const double d = -2.0 * c.x + 12.0 * c.y + 3.0;
        CHECK_THAT(4.0 * c.x / d, WithinAbs(u, 3e-5));
        CHECK_THAT(6.0 * c.y / d, WithinAbs(v, 3e-5));
    }
}

TEST_CASE("Planck: the wavelength of the peak follows Wien, ratios follow the law",
          "[spectrum][law]") {
    // Wien: lambda*T = 2897.772 um K (CODATA 2018), inside the range from 3715 to 7626 K.
    for (const double temperature_K : {4000.0, 5000.0, 6500.0}) {
        const FineSpectrum s = planckian(temperature_K);
        const auto peak = std::max_element(s.value.begin(), s.value.end()) - s.value.begin();
        CHECK_THAT(380.0 + static_cast<double>(peak), WithinAbs(2897772.0 / temperature_K, 0.51));
    }
    // CIE standard illuminant A is 100*(560/lambda)^5*(exp(1.435e7/(2848*560))-1)/(...): c2/T of
    // 1.435e-2/2848 is the same as 1.438776877e-2/2855.5; table to six digits.
    const FineSpectrum a = shipped("cie_illuminants.csv", "a");
    const FineSpectrum p = planckian(1.438776877e-2 / 1.435e-2 * 2848.0);
    for (int nm = 380; nm <= 780; nm += 5) CHECK_THAT(p.at_nm(nm), WithinRel(a.at_nm(nm), 1e-5));
    CHECK_THROWS_AS(planckian(0.0), std::invalid_argument);
}

TEST_CASE("daylight locus: vectors of the CIE polynomials, and liblcms2 agrees", "[colour][law]") {
    const double rows[][3] = {{4000, .382343625, .383766261},
                              {7000, .305357431, .321646345},
                              {25000, .24985367, .25479946}};
    for (const auto& [temperature_K, x, y] : rows) {
        CHECK_THAT(daylightLocus(temperature_K).x, WithinAbs(x, 5e-9));
        CHECK_THAT(daylightLocus(temperature_K).y, WithinAbs(y, 5e-9));
    }
    for (double t = 4000; t <= 25000; t += 350) {
        cmsCIExyY other;
        REQUIRE(cmsWhitePointFromTemp(&other, t));
        CHECK_THAT(daylightLocus(t).x, WithinRel(other.x, 1e-9));
        CHECK_THAT(daylightLocus(t).y, WithinRel(other.y, 1e-9));
    }
    CHECK_THROWS_AS(daylightLocus(3999.0), std::invalid_argument);
    CHECK_THROWS_AS(daylightLocus(25001.0), std::invalid_argument);
}

TEST_CASE("daylight locus: the polynomial is not the official white point", "[colour][law]") {
    CHECK_THAT(daylightLocus(6503.6).y, WithinAbs(.32913, 1e-5));
    CHECK_THAT(daylightLocus(5000 * 1.4388 / 1.4380).y, WithinAbs(.35860, 2e-5));
}

TEST_CASE("colour temperature: a Planckian has its own, on the locus", "[colour][law]") {
    for (const double temperature_K : {1000.0, 1850.0, 2856.0, 4321.0, 6504.0, 12000.0, 25000.0}) {
        const Correlated c = correlatedTemperature(whiteOf(planckian(temperature_K)));
        CHECK_THAT(c.temperature_K, WithinRel(temperature_K, 1e-5));
        CHECK_THAT(c.duv, WithinAbs(0.0, 1e-7));
    }
}

TEST_CASE("colour temperature: CIE illuminants and LEDs have the published ones", "[colour][law]") {
    // CIE 15:2018, table 12, temperatures from memory; the tables of 5 nm give them to 0.1 %.
    // Duv of daylight is about +0.003, from memory.
    const struct {
        const char* column;
        double temperature_K;
    } leds[] = {{"led_b1", 2733},   {"led_b2", 2998}, {"led_b3", 4103},
                {"led_b4", 5109},   {"led_b5", 6598}, {"led_bh1", 2851},
                {"led_rgb1", 2840}, {"led_v1", 2724}, {"led_v2", 4070}};
    for (const auto& led : leds) {
        const Correlated c =
            correlatedTemperature(whiteOf(shipped("cie_led_illuminants.csv", led.column)));
        INFO(led.column << ": " << c.temperature_K);
        CHECK_THAT(c.temperature_K, WithinRel(led.temperature_K, 1e-3));
    }
    const Correlated d65 = correlatedTemperature({.31272, .32903});
    CHECK_THAT(d65.temperature_K, WithinAbs(6504.0, 2.0));
    CHECK_THAT(d65.duv, WithinAbs(0.0032, 1e-4));
}

TEST_CASE("colour temperature: McCamy's approximation agrees near the locus", "[colour][law]") {
    // C. S. McCamy, Color Research & Application 17(2), 1992: CCT = 449n^3 + 3525n^2 + 6823.3n +
    // 5520.33, n = (x - 0.3320)/(0.1858 - y); good to a few kelvin near A and D65.
    for (const double temperature_K : {2856.0, 4000.0, 6504.0}) {
        const Chromaticity c = whiteOf(planckian(temperature_K));
        const double n = (c.x - 0.3320) / (0.1858 - c.y);
        const double mcCamy = ((449.0 * n + 3525.0) * n + 6823.3) * n + 5520.33;
        CHECK_THAT(correlatedTemperature(c).temperature_K, WithinAbs(mcCamy, 10.0));
    }
}

TEST_CASE("colour temperature: Duv is positive above the locus, in green", "[colour][law]") {
    // ANSI C78.377 sign: positive above the Planckian locus. Kept when moved along the normal.
    const Chromaticity c = whiteOf(planckian(3000.0));
    CHECK(correlatedTemperature({c.x, c.y + 0.01}).duv > 0.003);
    CHECK(correlatedTemperature({c.x, c.y - 0.01}).duv < -0.003);
    // A point 0.01 off along the normal, built in uv, comes back.
    const auto uv = [](Chromaticity p) {
        const double d = -2.0 * p.x + 12.0 * p.y + 3.0;
        return glm::dvec2(4.0 * p.x / d, 6.0 * p.y / d);
    };
    const glm::dvec2 at = uv(c);
    const glm::dvec2 along = uv(whiteOf(planckian(3001.0))) - uv(whiteOf(planckian(2999.0)));
    glm::dvec2 normal = glm::normalize(glm::dvec2(-along.y, along.x));
    if (normal.y < 0.0) normal = -normal;
    const glm::dvec2 off = at + 0.01 * normal;
    const double d = 2.0 * off.x - 8.0 * off.y + 4.0;
    const Correlated back = correlatedTemperature({3.0 * off.x / d, 2.0 * off.y / d});
    CHECK_THAT(back.temperature_K, WithinRel(3000.0, 1e-4));
    CHECK_THAT(back.duv, WithinAbs(0.01, 1e-6));
}

TEST_CASE("lamp colour: Planckian to 4000 K, daylight from 5000 K, no step between",
          "[spectrum][law]") {
    CHECK_THAT(whiteOf(lampSpectrum(3200)).y, WithinAbs(.3990, 1e-4));
    CHECK_THAT(whiteOf(lampSpectrum(5000 * 1.4388 / 1.4380)).y, WithinAbs(.35851, 1e-4));
    // The two differ by 0.007 in y at 5000 K.
    CHECK_THAT(whiteOf(cieDaylight(5000)).y - whiteOf(planckian(5000)).y, WithinAbs(0.007, 5e-4));
    for (const double edge_K : {4000.0, 5000.0}) {
        const Chromaticity below = whiteOf(lampSpectrum(edge_K - 0.01));
        const Chromaticity above = whiteOf(lampSpectrum(edge_K + 0.01));
        CHECK_THAT(below.x, WithinAbs(above.x, 1e-5));
        CHECK_THAT(below.y, WithinAbs(above.y, 1e-5));
    }
    // The mixture keeps the temperature: within 1 mired (10 mired is the usual warning level).
    for (double t = 4050; t < 5000; t += 50) {
        const double got = correlatedTemperature(whiteOf(lampSpectrum(t))).temperature_K;
        CHECK_THAT(miredShift(t, got), WithinAbs(0.0, 1.0));
    }
}

TEST_CASE("mired: shifts of the conversion filters", "[colour][law]") {
    // Filter table of photographic handbooks; half a mired.
    const double rows[][3] = {{3200, 5500, -131}, {5500, 3400, 112}, {5500, 3200, 131}};
    for (const auto& [from, to, shift] : rows)
        CHECK_THAT(miredShift(from, to), WithinAbs(shift, 0.5));
}
