// The three RGB reflectance bases. Method and properties: Mallett & Yuksel, EGSR 2019.
// Not here: their fit (tools/fit_rgb_basis.py).
#include <catch2/catch.hpp>
#include <cmath>

#include "scene/colour.h"
#include "scene/fine_spectrum.h"
#include "scene/spectrum_csv.h"

using Catch::Matchers::WithinAbs;
using namespace keyfall;

namespace {

const BandXYZ& d65() {
    static const BandXYZ bands = bandXYZ(resample(
        readSpectrumColumns(assetsDirectory() / "spectra" / "cie_illuminants.csv").column("d65")));
    return bands;
}

glm::dvec3 xyzUnderD65(const Bands& reflectance) {
    glm::dvec3 xyz{0.0};
    for (int b = 0; b < kBands; ++b)
        xyz += d65().xyz[static_cast<std::size_t>(b)] * static_cast<double>(reflectance[b]);
    return xyz;
}

}  // namespace

TEST_CASE("RGB bases: reflectances from 0 to 1 that sum to 1 in every band", "[colour][law]") {
    const Bands r = reflectanceFromRgb({1, 0, 0}), g = reflectanceFromRgb({0, 1, 0});
    const Bands b = reflectanceFromRgb({0, 0, 1});
    for (int i = 0; i < kBands; ++i) {
        for (const float share : {r[i], g[i], b[i]}) {
            CHECK(share >= 0.0F);
            CHECK(share <= 1.0F);
        }
        CHECK_THAT(static_cast<double>(r[i] + g[i] + b[i]), WithinAbs(1.0, 1e-6));
    }
}

TEST_CASE("RGB bases: the primaries are exact under D65", "[colour][law]") {
    // Rec. 709 primaries, IEC 61966-2-1; D65's spectrum adapted to its rounded white point.
    const glm::dmat3 toRgb = linearSrgbFromXyz() * bradford(d65().total(), whiteD65());
    for (int c = 0; c < 3; ++c) {
        glm::vec3 rgb{0.0F};
        rgb[c] = 1.0F;
        const glm::dvec3 back = toRgb * xyzUnderD65(reflectanceFromRgb(rgb));
        for (int k = 0; k < 3; ++k)
            CHECK_THAT(back[k], WithinAbs(static_cast<double>(rgb[k]), 1e-6));
    }
}

TEST_CASE("RGB bases: RGB to bands and back within 0.5/255, without adaptation too",
          "[colour][law]") {
    double worst = 0.0;
    for (int i = 0; i < 18 * 18 * 18; ++i) {
        const glm::dvec3 code{15.0 * (i % 18), 15.0 * (i / 18 % 18), 15.0 * (i / 324)};
        glm::vec3 linear;
        for (int c = 0; c < 3; ++c) linear[c] = static_cast<float>(decodeSrgb(code[c] / 255.0));
        const glm::dvec3 back = linearSrgbFromXyz() * xyzUnderD65(reflectanceFromRgb(linear));
        for (int c = 0; c < 3; ++c)
            worst = std::max(worst, std::abs(255.0 * encodeSrgb(back[c]) - code[c]));
    }
    INFO("worst " << worst << " of 255");
    CHECK(worst < 0.5);
}

TEST_CASE("RGB bases: grey is flat, so a grey stays grey under every light", "[colour][law]") {
    const Bands grey = reflectanceFromRgb({0.18F, 0.18F, 0.18F});
    for (int b = 0; b < kBands; ++b)
        CHECK_THAT(static_cast<double>(grey[b]), WithinAbs(0.18, 1e-7));
}

TEST_CASE("RGB bases: smooth, each has one rise and one fall", "[colour]") {
    // The smoothest triple has no ripples: the slope of each base changes sign at most twice
    // (blue and red end high, red keeps the small foot in blue that the paper's bases show).
    for (int c = 0; c < 3; ++c) {
        glm::vec3 rgb{0.0F};
        rgb[c] = 1.0F;
        const Bands base = reflectanceFromRgb(rgb);
        int turns = 0;
        float direction = 0.0F;
        for (int b = 1; b < kBands; ++b) {
            const float step = base[b] - base[b - 1];
            if (std::abs(step) < 0.01F) continue;
            if (direction * step < 0.0F) ++turns;
            direction = step;
        }
        CHECK(turns <= 2);
    }
}
