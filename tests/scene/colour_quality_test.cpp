// Spectral similarity, CIEDE2000 and colour under two lights, against publications, a second way of
// reckoning and liblcms2. Not here: white points and sRGB (spectrum_whites.cpp, colour_srgb.cpp).
#include <lcms2.h>

#include <array>
#include <catch2/catch.hpp>
#include <cmath>

#include "scene/colour_quality.h"
#include "scene/spectrum_csv.h"

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

namespace {

FineSpectrum shipped(const char* file, const std::string& column) {
    return resample(readSpectrumColumns(assetsDirectory() / "spectra" / file).column(column));
}

/// CIE illuminant C, 380 to 700 nm by 10 nm (CIE 15, from memory).
FineSpectrum illuminantC() {
    SpectrumTable t;
    for (const double v : {33.0, 47.4, 63.3, 80.6, 98.1, 112.4, 121.5, 124.0, 123.1, 123.8, 123.9, 120.7, 112.1, 102.3, 96.9, 98.0, 102.1,
                           105.2, 105.3, 102.3, 97.8, 93.2, 89.7, 88.4, 88.1, 88.0, 87.8, 88.2, 87.9, 86.3, 84.0, 80.2, 76.3}) {
        t.wavelength_nm.push_back(380.0 + 10.0 * static_cast<double>(t.value.size()));
        t.value.push_back(v);
    }
    return resample(t);
}

double between(const FineSpectrum& s, double nm) {
    if (nm <= 380.0) return s.at_nm(380);
    const int low = static_cast<int>(nm);
    return s.at_nm(low) + (nm - low) * (s.at_nm(low + 1) - s.at_nm(low));
}

/// The index once more from its definition: bins by the midpoint rule at 0.1 nm, exact for straight
/// lines between nanometres, and the running mean as a sum over shifts of the whole row.
double similarityBySteps(const FineSpectrum& test, const FineSpectrum& reference) {
    constexpr int kBins = 30;
    std::array<double, kBins> t{}, r{}, smooth{};
    double sumT = 0.0, sumR = 0.0;
    for (int step = 0; step < 3000; ++step) {
        const double nm = 375.05 + 0.1 * step;
        const auto bin = static_cast<std::size_t>(step / 100);
        t[bin] += between(test, nm);
        r[bin] += between(reference, nm);
        sumT += between(test, nm);
        sumR += between(reference, nm);
    }
    const auto weight = [](int nm) {
        if (nm >= 430 && nm <= 650) return 1.0;
        if (nm > 650) return nm == 660 ? 11.0 / 15 : 3.0 / 15;
        return (nm == 380 ? 12.0 : nm == 390 ? 22.0 : nm == 400 ? 32.0 : nm == 410 ? 40.0 : 44.0) / 45.0;
    };
    for (int i = 0; i < kBins; ++i) {
        const auto at = static_cast<std::size_t>(i);
        const double share = r[at] / sumR;
        const double off = weight(380 + 10 * i) * (t[at] / sumT - share) / (share + 1.0 / 30);
        smooth[at] += 0.56 * off;
        if (i > 0) smooth[at - 1] += 0.22 * off;
        if (i + 1 < kBins) smooth[at + 1] += 0.22 * off;
    }
    double squares = 0.0;
    for (const double v : smooth) squares += v * v;
    return 100.0 - 32.0 * std::sqrt(squares);
}

cmsCIEXYZ toCms(glm::dvec3 v) { return {v.x, v.y, v.z}; }

}  // namespace

TEST_CASE("SSI: equal spectra give 100, whatever their scale", "[colour][ssi][law]") {
    FineSpectrum led = shipped("cie_led_illuminants.csv", "led_b3");
    FineSpectrum dimmed = led;
    for (double& v : dimmed.value) v *= 0.125;
    CHECK(spectralSimilarity(led, led) == 100.0);
    CHECK_THAT(spectralSimilarity(dimmed, led), WithinAbs(100.0, 1e-10));
    CHECK_THROWS_AS(spectralSimilarity(FineSpectrum{}, led), std::invalid_argument);
}

TEST_CASE("SSI: illuminant C against D65 is 94", "[colour][ssi][law]") {
    // The example of an open (BSD licence) colour library, from memory. Its table of C is checked by its
    // white point first: (.31006, .31616), CIE 15; of 10 nm here, and cut at 700 nm.
    const Chromaticity c = chromaticity(bandXYZ(illuminantC()).total());
    CHECK_THAT(c.x, WithinAbs(.31006, 4e-4));
    CHECK_THAT(c.y, WithinAbs(.31616, 4e-4));
    CHECK(spectralSimilarityIndex(illuminantC(), shipped("cie_illuminants.csv", "d65")) == 94);
}

TEST_CASE("SSI: its definition by another way of reckoning", "[colour][ssi][law]") {
    const FineSpectrum references[] = {planckian(3200), planckian(2733), cieDaylight(5500), shipped("cie_illuminants.csv", "d65")};
    for (const char* led : {"led_b1", "led_b3", "led_b5", "led_bh1", "led_rgb1", "led_v1", "led_v2"})
        for (const FineSpectrum& reference : references) {
            const FineSpectrum test = shipped("cie_led_illuminants.csv", led);
            CHECK_THAT(spectralSimilarity(test, reference), WithinAbs(similarityBySteps(test, reference), 1e-8));
            CHECK_THAT(spectralSimilarity(reference, test), WithinAbs(similarityBySteps(reference, test), 1e-8));
        }
}

TEST_CASE("SSI: one bin raised, in closed form", "[colour][ssi][law]") {
    // Equal energy with the nine values inside one bin raised by 10/9 each: that bin holds 20 where the
    // others hold 10. Of 31 tens it has 2/31 and they 1/31, against 1/30 each. Over 1/30 + 1/30 that is
    // (60/31 - 1)/2 = 29/62 there and (30/31 - 1)/2 = -1/62 elsewhere.
    const auto raised = [](int centre_nm) {
        FineSpectrum s;
        s.value.fill(1.0);
        for (int nm = centre_nm - 4; nm <= centre_nm + 4; ++nm) s.at_nm(nm) += 10.0 / 9;
        return s;
    };
    FineSpectrum even;
    even.value.fill(1.0);
    const double weights[30] = {12 / 45.0, 22 / 45.0, 32 / 45.0, 40 / 45.0, 44 / 45.0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 11 / 15.0, 3 / 15.0};
    for (const int bin : {1, 3, 14, 28, 29}) {
        double off[32] = {};
        for (int i = 0; i < 30; ++i) off[i + 1] = weights[i] * (i == bin ? 29.0 : -1.0) / 62.0;
        double squares = 0.0;
        for (int i = 1; i <= 30; ++i) squares += std::pow(0.22 * (off[i - 1] + off[i + 1]) + 0.56 * off[i], 2.0);
        INFO("bin " << 380 + 10 * bin << " nm");
        CHECK_THAT(spectralSimilarity(raised(380 + 10 * bin), even), WithinAbs(100.0 - 32.0 * std::sqrt(squares), 1e-9));
    }
}

TEST_CASE("a light is held against a Planckian up to 4000 K, daylight above", "[colour]") {
    CHECK(spectralSimilarityIndex(planckian(3200), referenceLight(3200)) == 100);
    CHECK(spectralSimilarityIndex(cieDaylight(6504), referenceLight(6504)) == 100);
    CHECK_FALSE(referenceIsDaylight(4000.0));
    CHECK_FALSE(referenceIsDaylight(4000.0 + 1e-9));
    CHECK(referenceIsDaylight(4001.0));
    CHECK(spectralSimilarityIndex(cieDaylight(25000), referenceLight(1e5)) == 100);
}

TEST_CASE("mired between lights: + is warmer, none for a colour of its own", "[colour][law]") {
    // 1e6/3200 - 1e6/5500 = 130.7, the filter 85B of the handbooks.
    CHECK_THAT(miredBetween({5500, 0.003}, {3200, 0.0}).value(), WithinAbs(130.7, 0.05));
    CHECK_THAT(miredBetween({3200, 0.0}, {5500, 0.003}).value(), WithinAbs(-130.7, 0.05));
    CHECK_FALSE(miredBetween({5500, 0.051}, {3200, 0.0}));
    CHECK_FALSE(miredBetween({5500, 0.0}, {3200, -0.051}));
}

TEST_CASE("mired: the whole table of conversion filters", "[colour][law]") {
    // Photographic handbooks, to half a mired: 80A to 80D toward daylight, 85 to 85C away from it.
    const double rows[][3] = {{3200, 5500, -131}, {3400, 5500, -112}, {3800, 5500, -81}, {4200, 5500, -56},
                              {5500, 3400, 112},  {5500, 3200, 131},  {5500, 3800, 81}};
    for (const auto& [from, to, shift] : rows) CHECK_THAT(miredShift(from, to), WithinAbs(shift, 0.51));
}

TEST_CASE("CIEDE2000: the 34 pairs of Sharma, Wu & Dalal; liblcms2 agrees", "[colour][law]") {
    // Color Research & Application 30(1), 2005, table 1; from memory.
    const double rows[34][7] = {
        {50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425}, {50, 3.1571, -77.2803, 50, 0, -82.7485, 2.8615},
        {50, 2.8361, -74.0200, 50, 0, -82.7485, 3.4412}, {50, -1.3802, -84.2814, 50, 0, -82.7485, 1.0000},
        {50, -1.1848, -84.8006, 50, 0, -82.7485, 1.0000}, {50, -0.9009, -85.5211, 50, 0, -82.7485, 1.0000},
        {50, 0, 0, 50, -1, 2, 2.3669}, {50, -1, 2, 50, 0, 0, 2.3669},
        {50, 2.49, -0.001, 50, -2.49, 0.0009, 7.1792}, {50, 2.49, -0.001, 50, -2.49, 0.0010, 7.1792},
        {50, 2.49, -0.001, 50, -2.49, 0.0011, 7.2195}, {50, 2.49, -0.001, 50, -2.49, 0.0012, 7.2195},
        {50, -0.001, 2.49, 50, 0.0009, -2.49, 4.8045}, {50, -0.001, 2.49, 50, 0.0010, -2.49, 4.8045},
        {50, -0.001, 2.49, 50, 0.0011, -2.49, 4.7461}, {50, 2.5, 0, 50, 0, -2.5, 4.3065},
        {50, 2.5, 0, 73, 25, -18, 27.1492}, {50, 2.5, 0, 61, -5, 29, 22.8977},
        {50, 2.5, 0, 56, -27, -3, 31.9030}, {50, 2.5, 0, 58, 24, 15, 19.4535},
        {50, 2.5, 0, 50, 3.1736, 0.5854, 1.0000}, {50, 2.5, 0, 50, 3.2972, 0, 1.0000},
        {50, 2.5, 0, 50, 1.8634, 0.5757, 1.0000}, {50, 2.5, 0, 50, 3.2592, 0.3350, 1.0000},
        {60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644},
        {63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.2630},
        {61.2901, 3.7196, -5.3901, 61.4292, 2.2480, -4.9620, 1.8731},
        {35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645},
        {22.7233, 20.0904, -46.6940, 23.0331, 14.9730, -42.5619, 2.0373},
        {36.4612, 47.8580, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146},
        {90.8027, -2.0831, 1.4410, 91.1528, -1.6435, 0.0447, 1.4441},
        {90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381},
        {6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377},
        {2.0776, 0.0795, -1.1350, 0.9033, -0.0636, -0.5514, 0.9082}};
    for (const auto& [l1, a1, b1, l2, a2, b2, difference] : rows) {
        INFO(l1 << " " << a1 << " " << b1 << " / " << l2 << " " << a2 << " " << b2);
        const cmsCIELab one{l1, a1, b1}, two{l2, a2, b2};
        CHECK_THAT(deltaE2000({l1, a1, b1}, {l2, a2, b2}), WithinAbs(difference, 5e-5));
        CHECK_THAT(deltaE2000({l2, a2, b2}, {l1, a1, b1}), WithinAbs(difference, 5e-5));
        CHECK_THAT(cmsCIE2000DeltaE(&one, &two, 1, 1, 1), WithinAbs(difference, 5e-5));
    }
}

TEST_CASE("sRGB to XYZ: liblcms2's profile agrees", "[colour][law]") {
    // Its profile holds D50 colours in 16-bit fractions: 2e-4.
    const cmsHPROFILE srgb = cmsCreate_sRGBProfile(), xyz = cmsCreateXYZProfile();
    const cmsHTRANSFORM transform = cmsCreateTransform(srgb, TYPE_RGB_DBL, xyz, TYPE_XYZ_DBL, INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOOPTIMIZE);
    REQUIRE(transform != nullptr);
    for (const glm::dvec3 rgb : {glm::dvec3(.5, .5, .5), glm::dvec3(1, 0, 0), glm::dvec3(.1, .8, .3), glm::dvec3(.2, .3, .9)}) {
        double in[3] = {rgb.x, rgb.y, rgb.z};
        cmsCIEXYZ out;
        cmsDoTransform(transform, in, &out, 1);
        const glm::dvec3 linear(decodeSrgb(rgb.x), decodeSrgb(rgb.y), decodeSrgb(rgb.z));
        const glm::dvec3 own = bradford(whiteD65(), {.9642, 1.0, .8249}) * (xyzFromLinearSrgb() * linear);
        CHECK_THAT(own.x, WithinAbs(out.X, 2e-4));
        CHECK_THAT(own.y, WithinAbs(out.Y, 2e-4));
        CHECK_THAT(own.z, WithinAbs(out.Z, 2e-4));
    }
    cmsDeleteTransform(transform);
    cmsCloseProfile(srgb);
    cmsCloseProfile(xyz);
}

TEST_CASE("colour temperature: liblcms2's table agrees along the daylight locus", "[colour][law]") {
    // It interpolates between Robertson's isotemperature lines (1968): within a mired.
    for (const double t : {4000.0, 5000.0, 5500.0, 6504.0, 7500.0, 10000.0}) {
        const Chromaticity c = daylightLocus(t);
        const cmsCIExyY white{c.x, c.y, 1.0};
        double other_K = 0.0;
        REQUIRE(cmsTempFromWhitePoint(&other_K, &white));
        CHECK_THAT(miredShift(other_K, correlatedTemperature(c).temperature_K), WithinAbs(0.0, 1.0));
    }
}

TEST_CASE("a surface under two lights after white balance: liblcms2 agrees; greys do not change", "[colour][law]") {
    const BandXYZ tungsten = bandXYZ(planckian(3200)), led = bandXYZ(shipped("cie_led_illuminants.csv", "led_b5"));
    const Bands red = reflectanceFromRgb({0.5F, 0.05F, 0.04F}), blue = reflectanceFromRgb({0.03F, 0.08F, 0.4F});
    for (const Bands& surface : {red, blue, Bands(0.18F)}) {
        cmsCIELab lab[2];
        const BandXYZ* lights[] = {&tungsten, &led};
        for (int i = 0; i < 2; ++i) {
            glm::dvec3 sum(0.0);  // by the bands' own luminance weights and white
            for (std::size_t b = 0; b < kBands; ++b) sum += lights[i]->xyz[b] * static_cast<double>(surface.v[b]);
            const cmsCIEXYZ from = toCms(lights[i]->total()), to = toCms(whiteD65()), seen = toCms(sum);
            cmsCIEXYZ adapted;
            REQUIRE(cmsAdaptToIlluminant(&adapted, &from, &to, &seen));
            cmsXYZ2Lab(&to, &lab[i], &adapted);
        }
        CHECK_THAT(deltaEBalanced(surface, tungsten, led), WithinAbs(cmsCIE2000DeltaE(&lab[0], &lab[1], 1, 1, 1), 1e-5));
    }
    CHECK_THAT(deltaEBalanced(Bands(0.18F), tungsten, led), WithinAbs(0.0, 1e-6));
    CHECK(deltaEBalanced(red, tungsten, led) > 2.0);   // a blue-pumped LED is poor in deep red
    CHECK(deltaEBalanced(red, tungsten, tungsten) == 0.0);
}

TEST_CASE("what gives a surface its colour, by its base", "[colour]") {
    Material m;
    m.reflectance = Bands(0.4F);
    CHECK(bodyReflectance(m).value()[3] == 0.4F);
    m.base = Base::metal;
    m.index = ComplexIndex{Bands(0.43F), Bands(2.455F)};  // gold at 549 nm: .787 (Johnson & Christy 1972)
    CHECK_THAT(static_cast<double>(bodyReflectance(m).value()[8]), WithinAbs(0.787, 1e-3));
    m.base = Base::glass;
    CHECK_FALSE(bodyReflectance(m));
    Material printed;
    printed.reflectance = Bands(1.0F);
    Texture half;  // one white and one black pixel: half the light
    half.width = 2;
    half.height = 1;
    half.srgb = {255, 255, 255, 0, 0, 0};
    printed.texture = std::make_shared<const Texture>(half);
    CHECK_THAT(static_cast<double>(bodyReflectance(printed).value()[5]), WithinAbs(0.5, 1e-3));
}
