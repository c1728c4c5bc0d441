// Flux and intensity of photometric files against closed forms and printed figures, by both rules.
// Not here: what the formats allow (photometry_format_test.cpp), light.photometry
// (photometry_light_test.cpp).
#include <cmath>
#include <numbers>
#include <random>

#include "scene/photometry_file.h"
#include "tests/scene/photometry_texts.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// An absolute axial file whose candelas are I(vertical), every `step_deg`.
template <class Intensity>
PhotometricWeb axial(Intensity intensity, double step_deg, double last_deg) {
    std::vector<double> angles, candelas;
    for (double v = 0.0; v <= last_deg + 1e-9; v += step_deg) {
        angles.push_back(v);
        candelas.push_back(intensity(glm::radians(v)));
    }
    return parseLm63(lm63({angles, {0.0}, candelas}));
}

/// Flux by summing intensity_cd over directions drawn evenly in cos and angle: no rule of either
/// kind.
double summedFlux_lm(const PhotometricWeb& web, int across) {
    double sum = 0.0;
    for (int i = 0; i < across; ++i)
        for (int j = 0; j < across; ++j) {
            const double z = 1.0 - 2.0 * (i + 0.5) / across, phi = 2.0 * std::numbers::pi * (j + 0.5) / across;
            const double s = std::sqrt(1.0 - z * z);
            sum += intensity_cd(web, {s * std::cos(phi), s * std::sin(phi), z});
        }
    return sum * 4.0 * std::numbers::pi / (static_cast<double>(across) * across);
}

}  // namespace

// The Lambertian lamp of 1000 cd, its candelas rounded to a decimal, is published with 3133.5 lm
// (interpolated) and 3141.5 lm (by zones): 0.26 % between two honest rules. Printed to a tenth.
TEST_CASE("LM-63: the minimal file has its printed flux by both rules", "[photometry]") {
    const PhotometricWeb web = parseLm63(kMinimalLm63);
    CHECK(fluxByInterpolation_lm(web) == Approx(3133.5).margin(0.05));
    CHECK(fluxByZones_lm(web) == Approx(3141.5).margin(0.05));
    CHECK(web.isRound);
    CHECK(web.opening_m.x == Approx(0.18));
    CHECK(web.watts == 60.0);
    CHECK_FALSE(web.statedFlux_lm.has_value());
}

// Zonal constants 2 pi (cos a - cos b) of 10 degrees, printed in the handbooks to four decimals.
TEST_CASE("LM-63: flux by zones counts one zone with its printed constant", "[photometry]") {
    const double printed[9] = {.0955, .2835, .4629, .6282, .7744, .8972, .9926, 1.0579, 1.0911};
    for (std::size_t zone = 0; zone < 9; ++zone) {
        // 2 cd on both sides of the zone; its neighbours get half of theirs.
        std::vector<double> angles, candelas(10, 0.0);
        for (int i = 0; i < 10; ++i) angles.push_back(10.0 * i);
        candelas[zone] = candelas[zone + 1] = 2.0;
        double expected = 2.0 * printed[zone];
        if (zone > 0) expected += printed[zone - 1];
        if (zone < 8) expected += printed[zone + 1];
        CHECK(fluxByZones_lm(parseLm63(lm63({angles, {0.0}, candelas}))) ==
              Approx(expected).margin(2.1e-4));
    }
}

// Isotropic: 4 pi I. Both rules are exact for it.
TEST_CASE("LM-63: 795.775 cd all around are 10 000 lm", "[photometry]") {
    const PhotometricWeb web = axial([](double) { return 795.7747154594768; }, 7.5, 180.0);
    CHECK(fluxByInterpolation_lm(web) == Approx(10000.0).epsilon(1e-12));
    CHECK(fluxByZones_lm(web) == Approx(10000.0).epsilon(1e-12));
}

// cos^m: 2 pi I/(m+1), m = 1: pi I. A curve c(v) is missed by c'' step^2/12 where it is drawn
// straight, about m step^2/12 of its flux, and zones miss no more than twice that.
TEST_CASE("LM-63: cosine lobes have the flux of their integral", "[photometry]") {
    for (const double m : {1.0, 2.0, 5.0, 20.0}) {
        const PhotometricWeb web = axial(
            [m](double v) { return 300.0 * std::pow(std::max(0.0, std::cos(v)), m); }, 0.5, 90.0);
        INFO("m " << m);
        const double tolerance = (m + 1.0) * glm::radians(0.5) * glm::radians(0.5) / 6.0;
        CHECK(fluxByInterpolation_lm(web) ==
              Approx(2.0 * std::numbers::pi * 300.0 / (m + 1.0)).epsilon(tolerance));
        CHECK(fluxByZones_lm(web) == Approx(2.0 * std::numbers::pi * 300.0 / (m + 1.0)).epsilon(tolerance));
    }
}

TEST_CASE("LM-63: flux by interpolation is the integral of intensity_cd, at uneven angles too",
          "[photometry]") {
    std::mt19937 engine(11);
    std::uniform_real_distribution<double> any(10.0, 500.0);
    MeasuredTable table{{0, 7, 31, 60, 90, 95, 130, 180}, {0, 20, 95, 110, 200, 331, 360}, {}};
    for (std::size_t i = 0; i < table.vertical.size() * table.horizontal.size(); ++i)
        table.candela.push_back(any(engine));
    const PhotometricWeb web = parseLm63(lm63(table));
    // Midpoint sums over 1500^2 directions: the kinks cost under 1e-5.
    CHECK(summedFlux_lm(web, 1500) == Approx(fluxByInterpolation_lm(web)).epsilon(1e-5));
}

TEST_CASE("a web's intensity is the measured one at measured angles and linear between them",
          "[photometry]") {
    const PhotometricWeb web =
        parseLm63(lm63({{0, 30, 90},
                        {0, 90, 180, 270, 360},
                        {10, 20, 0, 10, 40, 0, 10, 60, 0, 10, 80, 0, 10, 20, 0}}));
    const auto at = [&](double v_deg, double h_deg) {
        const double v = glm::radians(v_deg), h = glm::radians(h_deg);
        return intensity_cd(web,
                            {std::sin(v) * std::cos(h), std::sin(v) * std::sin(h), std::cos(v)});
    };
    CHECK(at(30, 0) == Approx(20));
    CHECK(at(30, 90) == Approx(40));  // counter-clockwise from x to y, seen against the nadir z
    CHECK(at(30, 270) == Approx(80));
    CHECK(at(30, 315) == Approx(50));  // half of the way from 80 to 20
    CHECK(at(15, 90) == Approx(25));
    CHECK(at(60, 45) == Approx(15));
    CHECK(at(0, 123) == Approx(10));
    CHECK(at(91, 10) == 0.0);  // dark beyond the measured angles
}
