// A receptor beside a surface: what of its disc counts? Not here: a disc in the open (tests/laws).
#include <catch2/catch.hpp>

#include "../transport/set.h"
#include "renderer/meter/readings.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

constexpr double kRadius_m = 0.01;
constexpr float kGap_m = 0.002F;
const glm::vec3 kBulb_m{0.3F, 0.1F, 0.6F};
constexpr double kBulb_lm = 1000.0;

/// E of a small sphere at a point of the plane z = 0 that faces it: I cos / d^2.
double pointIlluminance_lx(double x_m, double y_m) {
    const glm::dvec3 way = glm::dvec3(kBulb_m) - glm::dvec3(x_m, y_m, 0.0);
    const double d = glm::length(way);
    return kBulb_lm / (4.0 * std::acos(-1.0)) * way.z / (d * d * d);
}

/// Its mean over the part of the disc around (gap, 0) where x > 0, by the midpoint rule.
double meanOverFreePart_lx() {
    double sum = 0.0;
    int points = 0;
    constexpr int kSteps = 400;
    for (int i = 0; i < kSteps; ++i)
        for (int j = 0; j < kSteps; ++j) {
            const double u = (2.0 * i + 1.0) / kSteps - 1.0;
            const double v = (2.0 * j + 1.0) / kSteps - 1.0;
            const double x_m = static_cast<double>(kGap_m) + kRadius_m * u;
            if (u * u + v * v > 1.0 || x_m < 0.0) continue;
            sum += pointIlluminance_lx(x_m, kRadius_m * v);
            ++points;
        }
    return sum / points;
}

/// A black card in the plane x = 0, a lamp on either side of it.
Set besideCard(bool solid) {
    Set set;
    const std::size_t black = set.matt(0.0F);
    if (solid) {
        Mesh box = boxMesh({0.2F, 2.0F, 2.0F});
        for (glm::vec3& p : box.position_m) p += glm::vec3(-0.1F, -1.0F, 0.0F);
        set.item(box, black);
    } else {
        set.item(sheet({0, 0, 0}, {1, 0, 0}, {2, 2}), black);
    }
    set.light(sphereLamp(kBulb_m, 0.02F), kBulb_lm);
    set.light(sphereLamp({-0.3F, 0.1F, 0.6F}, 0.02F), 10.0 * kBulb_lm);
    return set;
}

Probe discAt(const Set& set, glm::vec3 at_m, double radius_m = kRadius_m) {
    return set.probe(at_m, {0, 0, 1}, radius_m);
}

}  // namespace

TEST_CASE("what a solid or a card cuts off the receptor's disc does not count", "[law][meter]") {
    // A cell shows flux over its own area, and it has none inside a block or beyond a card. The
    // second lamp, ten times as strong, shines on the far side of the card: nothing of it is read.
    for (const bool solid : {true, false}) {
        const Set set = besideCard(solid);
        const Stage stage(set.scene);
        const Reading e = illuminance_lx(stage, discAt(set, {kGap_m, 0, 0}), 1024);
        INFO((solid ? "solid: " : "card: ") << e.mean() << " +- " << e.standardError() << ", by quadrature "
                                            << meanOverFreePart_lx());
        CHECK(std::abs(e.mean() - meanOverFreePart_lx()) < 4.0 * e.standardError() + 1e-4 * e.mean());
    }
}

TEST_CASE("a disc in a slit narrower than itself reads what its free part does", "[law][meter]") {
    // Two cards, 2 mm to either side, seen edge on: E hardly differs over so narrow a strip.
    Set set;
    const std::size_t black = set.matt(0.0F);
    for (const float x_m : {-0.002F, 0.002F}) set.item(sheet({x_m, 0, -0.05F}, {1, 0, 0}, {0.2F, 0.2F}), black);
    const glm::vec3 ahead_m{0, 0, 1};
    set.light(sphereLamp(ahead_m, 0.001F), kBulb_lm);
    const Stage stage(set.scene);
    const Reading e = illuminance_lx(stage, discAt(set, {0, 0, 0.0F}), 1024);
    const double ahead_lx = kBulb_lm / (4.0 * std::acos(-1.0));
    CHECK(e.mean() == Approx(ahead_lx).epsilon(0.01));
}

TEST_CASE("a surface outside the disc changes no number of the reading", "[meter]") {
    // The card stands 0.1 mm beyond the disc's rim and beyond the light's way; black, it sends none.
    Set open = besideCard(true);
    open.scene.items.clear();
    open.scene.lights.pop_back();
    Set near = besideCard(false);
    near.scene.lights.pop_back();
    const Stage openStage(open.scene);
    const Stage nearStage(near.scene);
    const glm::vec3 at_m{static_cast<float>(kRadius_m) + 1e-4F, 0, 0};
    const Reading a = illuminance_lx(openStage, discAt(open, at_m), 256);
    const Reading b = illuminance_lx(nearStage, discAt(near, at_m), 256);
    CHECK(a.value == b.value);
    // The disc is there at all: a point reads another figure.
    CHECK(a.value != illuminance_lx(openStage, discAt(open, at_m, 0.0), 256).value);
}
