// sRGB, Bradford, Lab and CIEDE2000 against the standards and liblcms2.
// Not here: white points (spectrum_whites.cpp), the picture (renderer/photograph).
#include <lcms2.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "scene/colour.h"

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

namespace {

void checkRows(const glm::dmat3& m, const double (&printed)[3][3], double tolerance) {
    for (int row = 0; row < 3; ++row)
        for (int column = 0; column < 3; ++column)
            CHECK_THAT(m[column][row], WithinAbs(printed[row][column], tolerance));
}

cmsCIEXYZ cms(glm::dvec3 v) {
    return {v.x, v.y, v.z};
}

}  // namespace

TEST_CASE("sRGB: matrices of IEC 61966-2-1", "[colour][law]") {
    const double derived[3][3] = {{.4123908, .3575843, .1804808},
                                  {.2126390, .7151687, .0721923},
                                  {.0193308, .1191948, .9505322}};
    checkRows(xyzFromLinearSrgb(), derived, 5.1e-8);
    // As printed in the standard: forward to 4 decimals; its inverse is that of rounded numbers.
    const double printed[3][3] = {
        {.4124, .3576, .1805}, {.2126, .7152, .0722}, {.0193, .1192, .9505}};
    checkRows(xyzFromLinearSrgb(), printed, 5e-5);
    const double inverse[3][3] = {
        {3.2406, -1.5372, -.4986}, {-.9689, 1.8758, .0415}, {.0557, -.2040, 1.0570}};
    checkRows(linearSrgbFromXyz(), inverse, 4e-4);
}

TEST_CASE("sRGB: white is D65 (0.3127, 0.3290), and the two matrices are inverse",
          "[colour][law]") {
    const glm::dvec3 white = xyzFromLinearSrgb() * glm::dvec3(1.0);
    CHECK_THAT(chromaticity(white).x, WithinAbs(0.3127, 1e-12));
    CHECK_THAT(chromaticity(white).y, WithinAbs(0.3290, 1e-12));
    CHECK_THAT(white.y, WithinAbs(1.0, 1e-12));
    const glm::dvec3 back = linearSrgbFromXyz() * (xyzFromLinearSrgb() * glm::dvec3(.2, .5, .7));
    CHECK_THAT(glm::distance(back, glm::dvec3(.2, .5, .7)), WithinAbs(0.0, 1e-12));
}

TEST_CASE("sRGB: 0.18 encodes to 0.4614 (118), 0.5 decodes to 0.214041", "[colour][law]") {
    // IEC 61966-2-1, 5.2. BT.709's own curve would give 0.409.
    CHECK_THAT(encodeSrgb(0.18), WithinAbs(0.4614, 5e-5));
    CHECK(std::lround(255 * encodeSrgb(0.18)) == 118);
    CHECK_THAT(decodeSrgb(0.5), WithinAbs(0.214041, 5e-7));
    CHECK_THAT(encodeSrgb(1.0), WithinAbs(1.0, 1e-12));
    CHECK_THAT(encodeSrgb(0.0031308), WithinAbs(0.04045, 1e-6));
    CHECK_THAT(encodeSrgb(-0.001), WithinRel(-0.01292, 1e-12));
    CHECK(encodeSrgb(2.0) > 1.3);
    for (int code = 0; code <= 255; ++code)
        CHECK_THAT(encodeSrgb(decodeSrgb(code / 255.0)), WithinAbs(code / 255.0, 1e-6));
}

TEST_CASE("sRGB: liblcms2's curve agrees", "[colour][law]") {
    const double srgb[] = {2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045};
    cmsToneCurve* curve = cmsBuildParametricToneCurve(nullptr, 4, srgb);
    REQUIRE(curve);
    for (int i = 0; i <= 100; ++i) {
        const auto encoded = static_cast<float>(i) / 100.0F;
        CHECK_THAT(decodeSrgb(static_cast<double>(encoded)),
                   WithinAbs(static_cast<double>(cmsEvalToneCurveFloat(curve, encoded)), 1e-5));
    }
    cmsFreeToneCurve(curve);
}

TEST_CASE("Bradford: D65 to D50", "[colour][law]") {
    // Matrix as published with the ICC profile format, from these two whites.
    const glm::dvec3 d65{.95045593, 1.0, 1.08905775}, d50{.96429568, 1.0, .82510460};
    const double printed[3][3] = {{1.04792979, .02294687, -.05019227},
                                  {.02962781, .99043443, -.01707380},
                                  {-.00924304, .01505519, .75187428}};
    checkRows(bradford(d65, d50), printed, 1e-7);
    CHECK_THAT(glm::distance(bradford(d65, d50) * d65, d50), WithinAbs(0.0, 1e-12));
    const glm::dmat3 there = bradford(d65, d50), back = bradford(d50, d65);
    CHECK_THAT(glm::distance(back * (there * glm::dvec3(.3, .4, .5)), glm::dvec3(.3, .4, .5)),
               WithinAbs(0.0, 1e-12));
    // A colour adapted by liblcms2 2.14 to the D50 of ICC profiles (.9642, 1, .8249).
    const glm::dvec3 adapted = bradford(whiteD65(), {.9642, 1.0, .8249}) * glm::dvec3(.5, .4, .3);
    CHECK_THAT(adapted.x, WithinAbs(.518046, 5e-7));
    CHECK_THAT(adapted.y, WithinAbs(.405861, 5e-7));
    CHECK_THAT(adapted.z, WithinAbs(.226907, 5e-7));
}

TEST_CASE("Bradford: liblcms2 adapts alike between any two daylight whites", "[colour][law]") {
    for (const double from_K : {4000.0, 5500.0, 9000.0})
        for (const double to_K : {4500.0, 6504.0, 20000.0}) {
            const glm::dvec3 from = xyzFrom(daylightLocus(from_K)),
                             to = xyzFrom(daylightLocus(to_K));
            const glm::dvec3 colour{.31, .22, .41};
            const cmsCIEXYZ a = cms(from), b = cms(to), c = cms(colour);
            cmsCIEXYZ other;
            REQUIRE(cmsAdaptToIlluminant(&other, &a, &b, &c));
            const glm::dvec3 own = bradford(from, to) * colour;
            CHECK_THAT(own.x, WithinRel(other.X, 1e-9));
            CHECK_THAT(own.y, WithinRel(other.Y, 1e-9));
            CHECK_THAT(own.z, WithinRel(other.Z, 1e-9));
        }
}

TEST_CASE("Lab: lightness of 18 % grey is 49.496; liblcms2 agrees everywhere", "[colour][law]") {
    CHECK_THAT(cieLightness(0.18), WithinAbs(49.496, 5e-4));
    CHECK_THAT(cieLightness(1.0), WithinAbs(100.0, 1e-12));
    CHECK_THAT(cieLightness(0.0), WithinAbs(0.0, 1e-12));
    std::mt19937 random(7);
    std::uniform_real_distribution<double> share(0.0, 1.0);
    const glm::dvec3 white = whiteD65();
    for (int i = 0; i < 300; ++i) {
        glm::dvec3 xyz{share(random), share(random), share(random)};
        if (i % 3 == 0) xyz *= 0.005;  // the straight part of the curve
        const cmsCIEXYZ w = cms(white), c = cms(xyz);
        cmsCIELab lab;
        cmsXYZ2Lab(&w, &lab, &c);
        const glm::dvec3 own = labFromXyz(xyz, white);
        CHECK_THAT(own.x, WithinAbs(lab.L, 1e-9));
        CHECK_THAT(own.y, WithinAbs(lab.a, 1e-8));
        CHECK_THAT(own.z, WithinAbs(lab.b, 1e-8));
    }
}

TEST_CASE("CIEDE2000: pairs of Sharma, Wu & Dalal", "[colour][law]") {
    // Color Research & Application 30(1), 2005, table 1; from memory, they check each other.
    const struct {
        glm::dvec3 one, two;
        double difference;
    } rows[] = {{{50, 2.6772, -79.7751}, {50, 0, -82.7485}, 2.0425},
                {{50, 3.1571, -77.2803}, {50, 0, -82.7485}, 2.8615},
                {{50, 2.8361, -74.0200}, {50, 0, -82.7485}, 3.4412},
                {{50, 0, 0}, {50, -1, 2}, 2.3669},
                {{50, 2.5, 0}, {50, 0, -2.5}, 4.3065},
                {{50, 2.5, 0}, {73, 25, -18}, 27.1492},
                {{2.0776, 0.0795, -1.1350}, {0.9033, -0.0636, -0.5514}, 0.9082}};
    for (const auto& row : rows) {
        CHECK_THAT(deltaE2000(row.one, row.two), WithinAbs(row.difference, 5e-5));
        CHECK_THAT(deltaE2000(row.two, row.one), WithinAbs(row.difference, 5e-5));
    }
}

TEST_CASE("CIEDE2000: liblcms2 agrees on random pairs", "[colour][law]") {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> unit(-1.0, 1.0);
    for (int i = 0; i < 500; ++i) {
        const auto lab = [&] {
            return glm::dvec3(50 + 45 * unit(random), 80 * unit(random), 80 * unit(random));
        };
        const glm::dvec3 p = lab(), q = i % 2 ? lab() : p + 0.05 * (lab() - p);
        const cmsCIELab a{p.x, p.y, p.z}, b{q.x, q.y, q.z};
        CHECK_THAT(deltaE2000(p, q), WithinRel(cmsCIE2000DeltaE(&a, &b, 1, 1, 1), 1e-7));
    }
}
