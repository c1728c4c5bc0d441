// Solids of glass and liquid in the path tracer: panes, absorption, overlap, leaks.
#include <catch2/catch.hpp>

#include <numbers>

#include "set.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// A slab, closed, from z = low to z = high, wide enough that no ray goes round it.
Mesh slab(float low_m, float high_m) {
    Mesh box = boxMesh({2.0F, 2.0F, high_m - low_m});
    for (glm::vec3& p : box.position_m) p += glm::vec3(0.0F, -1.0F, 0.5F * (low_m + high_m));
    return box;
}

/// Luminance of a large far panel seen by a spot reading along -z, through what is between,
/// relative to the panel itself: the normal transmittance.
double normalTransmittance(Set set) {
    const LampShape lamp = panelLamp({0, 0, -1}, {0, 0, 1}, 6.0F, 6.0F);
    set.light(lamp, 1.0);
    Probe spot = set.probe({0, 0, -1}, {0, 0, 1});
    spot.kind = ProbeKind::spot;
    spot.spotAngle_rad = 1e-3;
    set.scene.camera.lens_m = {0, 0, 1};
    const Stage stage(set.scene);
    // Reflect or pass is drawn at each surface: a million paths for 0.03 %.
    const double seen = illuminance_lx(stage, spot, 1U << 16U).mean();
    return seen / luminancePerFlux_perSrM2(lamp);
}

}  // namespace

TEST_CASE("pane, water, pane: transmittance at normal incidence .9111", "[law][transport][long]") {
    // Incoherent surfaces with all inner bounces: T = 1/(1 + sum R/(1-R)) over the interfaces,
    // n 1.52 / 1.333. Derived from Fresnel at normal incidence (issue figure .9111). The water
    // overlaps both panes by 0.1 mm, priority 1 against 2: no hair gap to act as a mirror.
    Set set;
    const std::size_t pane = set.material(solidGlass(1.52F));
    const std::size_t water = set.material(solidGlass(1.333F, 0.0F, 0.0F, 1));
    set.item(slab(0.000F, 0.004F), pane);
    set.item(slab(0.0039F, 0.0141F), water);
    set.item(slab(0.014F, 0.018F), pane);
    const auto loss = [](double a, double b) {
        const double r = std::pow((a - b) / (a + b), 2);
        return r / (1.0 - r);
    };
    const double exact = 1.0 / (1.0 + 2.0 * loss(1.0, 1.52) + 2.0 * loss(1.52, 1.333));
    CHECK(exact == Approx(0.9111).margin(5e-5));
    CHECK(normalTransmittance(set) == Approx(exact).epsilon(0.001));
}

TEST_CASE("the same with air gaps: .8200", "[law][transport][long]") {
    Set set;
    const std::size_t pane = set.material(solidGlass(1.52F));
    const std::size_t water = set.material(solidGlass(1.333F, 0.0F, 0.0F, 1));
    set.item(slab(0.000F, 0.004F), pane);
    set.item(slab(0.005F, 0.013F), water);
    set.item(slab(0.014F, 0.018F), pane);
    CHECK(normalTransmittance(set) == Approx(0.8200).epsilon(0.001));
}

TEST_CASE("Beer-Lambert: light through an absorbing solid falls by exp(-a d)", "[law][transport]") {
    // Index 1 leaves absorption alone. a = 100 per metre over 12 mm.
    Set set;
    set.item(slab(0.0F, 0.012F), set.material(solidGlass(1.0F, 0.0F, 100.0F)));
    CHECK(normalTransmittance(set) == Approx(std::exp(-1.2)).epsilon(0.001));
}

TEST_CASE("slab with absorption: both surfaces and all inner bounces", "[law][transport][long]") {
    // Two surfaces, incoherent, all inner bounces: T = (1-R)^2 t / (1 - R^2 t^2).
    Set set;
    set.item(slab(0.0F, 0.01F), set.material(solidGlass(1.52F, 0.0F, 30.0F)));
    const double r = std::pow(0.52 / 2.52, 2);
    const double t = std::exp(-0.3);
    CHECK(normalTransmittance(set) == Approx((1 - r) * (1 - r) * t / (1 - r * r * t * t)).epsilon(0.001));
}

TEST_CASE("white furnace: a clear glass ball in uniform light is invisible", "[law][transport]") {
    // White furnace (Heitz, JCGT 3(2), 2014): any surface that absorbs nothing shows L0. The room's ambient is uniform
    // luminance E/pi from everywhere.
    Set set;
    Mesh ball = sphereMesh(0.1F);
    set.item(std::move(ball), set.material(solidGlass(1.52F)));
    Mesh room = roomMesh(4.0F, 4.0F, 4.0F, -2.0F);
    room.slot.clear();
    set.item(std::move(room), set.matt(0.5F), ItemKind::room);
    set.scene.room = Room{100.0, 4000.0, bandXYZ(planckian(4000.0))};
    Probe spot = set.probe({0, 0.05F, 0}, {0, 0, 1});
    spot.kind = ProbeKind::spot;
    spot.spotAngle_rad = 0.07;
    set.scene.camera.lens_m = {0, 0.05F, 1.0F};
    const Stage stage(set.scene);
    const Reading l = illuminance_lx(stage, spot, 4096);
    INFO(l.mean() * std::numbers::pi << " +- " << l.standardError() * std::numbers::pi);
    CHECK(l.mean() == Approx(100.0 / std::numbers::pi).epsilon(0.001));
}

TEST_CASE("ambient: an open surface in the room meters its illuminance", "[law][transport]") {
    // README, "The scene file": `illuminance` is what a flat meter reads under an open half-space.
    Set set;
    Mesh room = roomMesh(4.0F, 3.0F, 2.6F, -0.75F);
    room.slot.clear();
    set.item(std::move(room), set.matt(0.5F), ItemKind::room);
    set.item(sheet({0, 0, 0}, {0, 1, 0}, {1.2F, 0.8F}), set.matt(0.4F), ItemKind::table);
    set.scene.room = Room{500.0, 4000.0, bandXYZ(planckian(4000.0))};
    const Stage stage(set.scene);
    const Reading e = illuminance_lx(stage, set.probe({0.1F, 0.002F, 0.1F}, {0, 1, 0}, 0.01), 256);
    CHECK(e.mean() == Approx(500.0).epsilon(1e-4));
}
