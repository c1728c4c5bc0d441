// A lamp seen into the real inside of its modifier, against closed forms. Not here: tables (tests/transport).
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "../transport/modifier_bodies.h"
#include "renderer/meter/lamp_bench.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

constexpr float kBehind_m = 0.3F;

/// A disc, 30 cm behind the middle of a sheet of 1 x 1 m, both facing z.
LampSubject behindSheet(float diameter_m, const Material& sheet) {
    auto body = std::make_shared<ModifierBody>();
    Mesh mesh;
    addRectangle(mesh, {-0.5F, -0.5F, 0.0F}, {1, 0, 0}, {0, 1, 0});
    addPart(*body, mesh, sheet);
    body->lampCentre_m = {0, 0, -kBehind_m};
    LampSubject subject;
    subject.shape.kind = LampKind::disc;
    subject.shape.a_m = diameter_m;
    subject.lampBody = mattOf(0.0F);
    subject.body = body;
    subject.light = bandXYZ(lampSpectrum(5500.0));
    return subject;
}

RunSettings twoThreads() {
    RunSettings run;
    run.threads = 2;
    return run;
}

/// The share of a small Lambertian source's flux that falls on the sheet: int h^2 / (pi r^4) dA.
double shareOnSheet() {
    constexpr int n = 200;
    const double h2 = static_cast<double>(kBehind_m) * static_cast<double>(kBehind_m);
    double sum = 0.0;
    for (int i = 0; i < n; ++i)
        for (int j = 0; j < n; ++j) {
            const double x = (i + 0.5) / n - 0.5, y = (j + 0.5) / n - 0.5;
            sum += h2 / (std::numbers::pi * std::pow(h2 + x * x + y * y, 2.0)) / (n * n);
        }
    return sum;
}

}  // namespace

TEST_CASE("a small lamp behind a sheet is seen through it, not by chance", "[meter][lamp]") {
    // Lambert: a flat lamp sends Phi cos / pi. Straight through goes a twentieth of that; a quarter of what
    // falls on the sheet leaves it by Lambert's law, too. One ray in 5000 meets the lamp, and one in 20 of
    // those passes the sheet straight: 8192 rays alone would find a third of an event for a fifth of the light.
    const LampSubject subject = behindSheet(0.02F, skinOf(0.3F, 0.0F, 0.05F));
    LampBench bench(subject, twoThreads());
    const Reading seen = weighted(bench.tracedIntensity_perSr({0, 0, 1}, 256), subject.light);
    const double expected = (0.05 + 0.25 * shareOnSheet()) / std::numbers::pi;
    INFO(seen.mean() << ", closed form " << expected);
    CHECK(std::abs(seen.mean() - expected) < 4.0 * seen.standardError());
    CHECK(seen.standardError() < 0.02 * expected);

    const glm::vec3 aside(0.6F, 0.0F, 0.8F);
    const Reading straight = weighted(bench.straightIntensity_perSr(aside, 64), subject.light);
    CHECK(straight.mean() == Approx(0.05 * 0.8 / std::numbers::pi).epsilon(1e-3));
}

TEST_CASE("a lamp that rays through a sheet do find is counted once", "[meter][lamp]") {
    // As above; the sheet passes a fifth straight and nothing else.
    const LampSubject subject = behindSheet(0.4F, skinOf(0.2F, 0.0F, 0.2F));
    LampBench bench(subject, twoThreads());
    const Reading seen = weighted(bench.tracedIntensity_perSr({0, 0, 1}, 256), subject.light);
    CHECK(seen.mean() == Approx(0.2 / std::numbers::pi).epsilon(2e-3));
}
