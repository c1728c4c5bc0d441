// Fine spectra and the 16 bands: exactness for greys, daylight means, the table of 24 patches.
// Not here: white points (spectrum_whites.cpp).
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "scene/colour.h"
#include "scene/fine_spectrum.h"
#include "scene/spectrum_csv.h"

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

namespace {

/// Every column of a CSV, at 1 nm.
std::vector<FineSpectrum> columns(const std::filesystem::path& file) {
    const SpectrumCsv csv = readSpectrumColumns(file);
    std::vector<FineSpectrum> all;
    for (const auto& value : csv.value) all.push_back(resample({csv.wavelength_nm, value}));
    return all;
}

/// A, D50, D55, D65 and nine LEDs: CIE 15:2018.
std::vector<FineSpectrum> illuminants() {
    std::vector<FineSpectrum> all = columns(assetsDirectory() / "spectra" / "cie_illuminants.csv");
    for (const auto& led : columns(assetsDirectory() / "spectra" / "cie_led_illuminants.csv"))
        all.push_back(led);
    return all;
}

std::vector<FineSpectrum> patches() {
    return columns(std::filesystem::path(KEYFALL_TESTS) / "data" / "chart_24_patches.csv");
}

FineSpectrum times(FineSpectrum a, const FineSpectrum& b) {
    for (std::size_t i = 0; i < a.value.size(); ++i) a.value[i] *= b.value[i];
    return a;
}

/// XYZ by the CIE's own sum at 1 nm, 380-780 (CIE 15:2018, 7.1), unit luminance for factor 1.
glm::dvec3 fineXyz(const FineSpectrum& light, const FineSpectrum& factor) {
    glm::dvec3 sum{0.0};
    double luminous = 0.0;
    for (std::size_t i = 0; i < light.value.size(); ++i) {
        const double s = light.value[i];
        sum += s * factor.value[i] *
               glm::dvec3(observerX().value[i], observerY().value[i], observerZ().value[i]);
        luminous += s * observerY().value[i];
    }
    return sum / luminous;
}

FineSpectrum constant(double value) {
    FineSpectrum s;
    s.value.fill(value);
    return s;
}

double luminance(const BandXYZ& light, const Bands& factor) {
    double sum = 0.0;
    for (int b = 0; b < kBands; ++b)
        sum += light.xyz[static_cast<std::size_t>(b)].y * static_cast<double>(factor[b]);
    return sum;
}

/// Luminance errors in stops of all patches under all illuminants after `bounces` equal bounces.
struct Errors {
    double rms = 0.0, worst = 0.0;
};
Errors luminanceErrors(int bounces) {
    Errors errors;
    int count = 0;
    for (const FineSpectrum& light : illuminants()) {
        const BandXYZ bands = bandXYZ(light);
        for (const FineSpectrum& patch : patches()) {
            FineSpectrum fine = patch;
            Bands coarse = toBands(patch);
            if (bounces == 2) fine = times(patch, patch), coarse *= toBands(patch);
            const double stops = std::log2(luminance(bands, coarse) / fineXyz(light, fine).y);
            errors.rms += stops * stops;
            errors.worst = std::max(errors.worst, std::abs(stops));
            ++count;
        }
    }
    REQUIRE(count == 24 * 13);
    errors.rms = std::sqrt(errors.rms / count);
    return errors;
}

}  // namespace

TEST_CASE("bands: 24 patches under 13 CIE illuminants, one bounce: 0.0034 stop rms, 0.026 worst",
          "[spectrum][law]") {
    // Against the sum at 1 nm. Patches: N. Ohta 1997; illuminants: CIE 15:2018. The limits are what
    // sixteen bands with ybar*D55 means can do, found by a separate calculation.
    const Errors errors = luminanceErrors(1);
    INFO("rms " << errors.rms << ", worst " << errors.worst << " stop");
    CHECK_THAT(errors.rms, WithinAbs(0.0034, 5e-5));
    CHECK_THAT(errors.worst, WithinAbs(0.0257, 5e-5));
}

TEST_CASE("bands: 24 patches under 13 CIE illuminants, two bounces: 0.0115 stop rms, 0.066 worst",
          "[spectrum][law]") {
    const Errors errors = luminanceErrors(2);
    INFO("rms " << errors.rms << ", worst " << errors.worst << " stop");
    CHECK_THAT(errors.rms, WithinAbs(0.0115, 5e-5));
    CHECK_THAT(errors.worst, WithinAbs(0.0658, 5e-5));
}

TEST_CASE("bands: summed at the 5 nm of the tables 0.003 / 0.02 and 0.010 / 0.05 stop",
          "[spectrum][law]") {
    // The same table without interpolation, as the number of bands was chosen: every fifth
    // nanometre counts whole, in the band it lies in.
    const auto lights = illuminants();
    const auto chart = patches();
    const auto bandOf = [](int nm) {
        const double band = std::floor((nm - kBandStart_nm) / kBandWidth_nm);
        return static_cast<std::size_t>(std::clamp(band, 0.0, kBands - 1.0));
    };
    const auto errorsOf = [&](int bounces) {
        Errors errors;
        for (const auto& light : lights)
            for (const auto& patch : chart) {
                std::array<double, kBands> mean{}, weight{}, power{};
                double fine = 0.0, coarse = 0.0, total = 0.0;
                for (int nm = 380; nm <= 780; nm += 5) {
                    const double w = lights[2].at_nm(nm) * observerY().at_nm(nm);
                    mean[bandOf(nm)] += w * patch.at_nm(nm);
                    weight[bandOf(nm)] += w;
                    const double p = light.at_nm(nm) * observerY().at_nm(nm);
                    power[bandOf(nm)] += p;
                    total += p;
                    fine += p * std::pow(patch.at_nm(nm), bounces);
                }
                for (std::size_t b = 0; b < kBands; ++b)
                    coarse += power[b] * std::pow(mean[b] / weight[b], bounces);
                const double stops = std::log2(coarse / fine);
                errors.rms += stops * stops / (24.0 * 13.0);
                errors.worst = std::max(errors.worst, std::abs(stops));
            }
        errors.rms = std::sqrt(errors.rms);
        return errors;
    };
    CHECK(errorsOf(1).rms < 0.0035);
    CHECK(errorsOf(1).worst < 0.025);
    CHECK(errorsOf(2).rms < 0.0105);
    CHECK(errorsOf(2).worst < 0.055);
}

TEST_CASE("bands: a grey card keeps xy and Y exactly under all 13 illuminants", "[spectrum][law]") {
    for (const FineSpectrum& light : illuminants()) {
        const BandXYZ bands = bandXYZ(light);
        const Bands grey = toBands(constant(0.18));
        glm::dvec3 xyz{0.0};
        for (int b = 0; b < kBands; ++b)
            xyz += bands.xyz[static_cast<std::size_t>(b)] * static_cast<double>(grey[b]);
        const glm::dvec3 fine = fineXyz(light, constant(0.18));
        CHECK_THAT(chromaticity(xyz).x, WithinAbs(chromaticity(fine).x, 1e-7));
        CHECK_THAT(chromaticity(xyz).y, WithinAbs(chromaticity(fine).y, 1e-7));
        CHECK_THAT(xyz.y, WithinRel(0.18, 1e-6));
    }
}

TEST_CASE("bands: the Y of a lamp sums to 1, light outside 400-700 nm included",
          "[spectrum][law]") {
    for (const FineSpectrum& light : illuminants()) {
        const BandXYZ bands = bandXYZ(light);
        CHECK_THAT(bands.total().y, WithinAbs(1.0, 1e-12));
        const glm::dvec3 fine = fineXyz(light, constant(1.0));
        CHECK_THAT(bands.total().x, WithinRel(fine.x, 1e-12));
        CHECK_THAT(bands.total().z, WithinRel(fine.z, 1e-12));
        double sum = 0.0;
        for (int b = 0; b < kBands; ++b) sum += static_cast<double>(bands.luminance()[b]);
        CHECK_THAT(sum, WithinAbs(1.0, 1e-6));
    }
}

TEST_CASE("bands: a line of light lands in its band and keeps its colour", "[spectrum][law]") {
    const int rows[][2] = {{380, 0}, {400, 0},  {418, 0},  {420, 1},
                           {555, 8}, {680, 14}, {720, 15}, {780, 15}};
    for (const auto& [nm, band] : rows) {
        FineSpectrum line;
        line.at_nm(nm) = 1.0;
        const BandXYZ bands = bandXYZ(line);
        CHECK_THAT(bands.xyz[static_cast<std::size_t>(band)].y, WithinAbs(1.0, 1e-12));
        CHECK_THAT(
            chromaticity(bands.total()).x,
            WithinRel(observerX().at_nm(nm) /
                          (observerX().at_nm(nm) + observerY().at_nm(nm) + observerZ().at_nm(nm)),
                      1e-9));
    }
    // 419 nm stands for 418.5-419.5: a quarter below the band's edge at 418.75, the rest above.
    FineSpectrum straddling;
    straddling.at_nm(419) = 1.0;
    CHECK_THAT(bandXYZ(straddling).xyz[0].y, WithinAbs(0.25, 1e-12));
    CHECK_THAT(bandXYZ(straddling).xyz[1].y, WithinAbs(0.75, 1e-12));
}

TEST_CASE("bands: one bounce of D55 keeps the luminance of every patch", "[spectrum][law]") {
    // Follows from the weight ybar*D55 of the band means.
    const FineSpectrum d55 = illuminants()[2];
    for (const FineSpectrum& patch : patches())
        CHECK_THAT(luminance(bandXYZ(d55), toBands(patch)), WithinRel(fineXyz(d55, patch).y, 1e-6));
    for (const double grey : {0.0, 0.18, 1.0})
        for (int b = 0; b < kBands; ++b)
            CHECK_THAT(static_cast<double>(toBands(constant(grey))[b]), WithinAbs(grey, 1e-7));
}

TEST_CASE("bands: the chart's neutrals under D50 are those of its 1976 paper", "[spectrum][law]") {
    // McCamy, Marcus & Davidson, J. Appl. Photogr. Eng. 2(3), 1976: luminance factors in %.
    // Another copy of the chart was measured: a tenth of a stop.
    const double printed[] = {90.01, 59.10, 36.20, 19.77, 9.00, 3.13};
    const FineSpectrum d50 = illuminants()[1];
    for (int i = 0; i < 6; ++i) {
        const double y = fineXyz(d50, patches()[static_cast<std::size_t>(18 + i)]).y;
        CHECK_THAT(std::log2(100.0 * y / printed[i]), WithinAbs(0.0, 0.1));
    }
}

TEST_CASE("observer: ybar peaks at 1 near 555 nm and its sum is 106.86", "[spectrum][law]") {
    // CIE 018:2019 table 6; the sum of ybar at 1 nm, from memory.
    CHECK_THAT(observerY().at_nm(555), WithinAbs(1.0, 1e-3));
    double x = 0.0, y = 0.0, z = 0.0;
    for (int nm = 380; nm <= 780; ++nm)
        x += observerX().at_nm(nm), y += observerY().at_nm(nm), z += observerZ().at_nm(nm);
    CHECK_THAT(y, WithinAbs(106.86, 0.01));
    // The three sums are equal: the equal-energy stimulus is white (CIE 1931).
    CHECK_THAT(x / y, WithinAbs(1.0, 2e-4));
    CHECK_THAT(z / y, WithinAbs(1.0, 4e-4));
}

TEST_CASE("resampling: linear between rows, end values beyond", "[spectrum]") {
    const FineSpectrum s = resample({{400, 410, 700}, {1.0, 2.0, 4.9}});
    CHECK(s.at_nm(380) == 1.0);
    CHECK(s.at_nm(400) == 1.0);
    CHECK_THAT(s.at_nm(403), WithinRel(1.3, 1e-12));
    CHECK_THAT(s.at_nm(700), WithinRel(4.9, 1e-12));
    CHECK(s.at_nm(780) == 4.9);
    CHECK_THROWS_AS(bandXYZ(constant(0.0)), std::invalid_argument);
}
