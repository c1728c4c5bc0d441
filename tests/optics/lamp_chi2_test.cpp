// Lamp sampling against its own density: chi-square, mean of 1/pdf, pointwise agreement.
// Not here: photometry (lamp_photometry_test.cpp).
#include <catch2/catch.hpp>
#include <cmath>

#include "renderer/optics/lamp.h"
#include "tests/optics/chi_square.h"
#include "tests/optics/lamp_cases.h"

namespace keyfall::test {

namespace {

double densityToward(const LampView& view, glm::vec3 direction) {
    const auto hit = intersectLamp(*view.lamp, view.point_m, direction, 0.0F, 1e9F);
    return hit ? static_cast<double>(pdfLamp_perSr(view, direction, *hit)) : 0.0;
}

/// A grid aimed at the middle of the draws that reaches just past all of them.
SphereGrid gridAround(const LampView& view) {
    Uniform random(99U);
    std::vector<glm::vec3> drawn;
    glm::dvec3 sum(0.0);
    for (int i = 0; i < 20000; ++i) {
        const auto s = sampleLamp(view, random.two());
        if (!s) continue;
        drawn.push_back(s->toLight);
        sum += glm::dvec3(s->toLight);
    }
    const glm::vec3 axis(glm::normalize(sum));
    double lowest = 1.0;
    for (const glm::vec3& d : drawn) lowest = std::min(lowest, static_cast<double>(glm::dot(d, axis)));
    SphereGrid grid;
    grid.frame = frameAround(axis);
    grid.cosMin = std::max(-1.0, 1.0 - 1.05 * (1.0 - lowest) - 1e-6);
    return grid;
}

ChiSquare chiSquareOf(const LampCase& c, int count, int splits) {
    const LampView view = viewLamp(c.lamp, c.point_m, c.normal);
    SphereGrid grid = gridAround(view);
    grid.splits = splits;
    return chiSquare(
        grid, count, 17U,
        [&](Uniform& random) -> std::optional<glm::vec3> {
            const auto s = sampleLamp(view, random.two());
            return s ? std::optional(s->toLight) : std::nullopt;
        },
        [&](glm::vec3 d) { return densityToward(view, d); });
}

}  // namespace

TEST_CASE("lamp draws follow their stated density, one view a shape", "[lamp][chi2]") {
    LampKind last = LampKind::panel;
    for (const LampCase& c : lampCases()) {
        if (c.lamp.kind == last) continue;
        last = c.lamp.kind;
        const ChiSquare x = chiSquareOf(c, 30000, 2);
        INFO(c.name << ": " << x.summary);
        CHECK(x.passes());
    }
}

TEST_CASE("lamp draws follow their stated density, every view", "[lamp][chi2][long]") {
    for (const LampCase& c : lampCases()) {
        const ChiSquare x = chiSquareOf(c, 300000, 4);
        INFO(c.name << ": " << x.summary);
        CHECK(x.passes());
    }
}

}  // namespace keyfall::test
