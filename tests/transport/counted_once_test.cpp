// Light that two ways of finding it share, or that one of them cannot find, is counted once: the
// corner cases of lamp sampling against directions drawn from the surface.
#include <catch2/catch.hpp>

#include <numbers>

#include "set.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// Equal within four standard errors, and those within `most` of the value.
void checkSame(const Reading& a, const Reading& b, double most) {
    const double error = std::hypot(a.standardError(), b.standardError());
    INFO(a.mean() << " and " << b.mean() << ", standard error " << error);
    CHECK(std::abs(a.mean() - b.mean()) < 4.0 * error);
    CHECK(error < most * b.mean());
}

/// A flat meter 30 cm under a scrim that passes half of the light straight, a panel over it, and
/// `more` other lamps, all off.
Reading underScrim(int more) {
    Set set;
    Material scrim;
    scrim.base = Base::sheet;
    scrim.reflectance = Bands(0.2F);
    scrim.transmittance = Bands(0.7F);
    scrim.straight = Bands(0.5F);
    set.item(sheet({0, 0.3F, 0}, {0, 1, 0}, {1, 1}), set.material(scrim), ItemKind::board);
    set.light(panelLamp({0, 0.7F, 0}, {0, -1, 0}, 0.6F, 0.6F), 1000.0);
    for (int i = 0; i < more; ++i)
        set.light(sphereLamp({0.7F, 0.3F, 0.2F * static_cast<float>(i)}, 0.01F), 1000.0).on = false;
    const Stage stage(set.scene);
    return illuminance_lx(stage, set.probe({0, 0, 0}, {0, 1, 0}), 1U << 14U);
}

/// Luminance of a frosted, tinted slab 1 mm thick, seen straight on, before a panel of the same
/// solid angle at `distance_m`.
Reading frosted(float distance_m) {
    Set set;
    Mesh slab = boxMesh({0.4F, 0.4F, 0.001F});
    for (glm::vec3& p : slab.position_m) p.y -= 0.2F;
    set.item(std::move(slab), set.material(solidGlass(1.5F, 0.7F, 300.0F)));
    const float size_m = 0.5F * distance_m;
    const LampShape lamp = panelLamp({0, 0, -distance_m}, {0, 0, 1}, size_m, size_m);
    set.light(lamp, 1.0 / luminancePerFlux_perSrM2(lamp));  // luminance 1
    Probe spot = set.probe({0, 0, 0}, {0, 0, 1});
    spot.kind = ProbeKind::spot;
    spot.spotAngle_rad = 1e-3;
    set.scene.camera.lens_m = {0, 0, 1};
    const Stage stage(set.scene);
    return illuminance_lx(stage, spot, 8192);
}

Reading underSlab(bool slab, float ior) {
    Set set;
    Mesh box = boxMesh({2.0F, 0.01F, 2.0F});
    for (glm::vec3& p : box.position_m) p.y += 0.1F;
    if (slab) set.item(std::move(box), set.material(solidGlass(ior, 0.0F, 0.0F)));
    set.light(panelLamp({0, 0.6F, 0}, {0, -1, 0}, 0.8F, 0.8F), 1000.0);
    const Stage stage(set.scene);
    return illuminance_lx(stage, set.probe({0, 0, 0}, {0, 1, 0}), 4096);
}

LampShape ringLamp(float diameter_m, float tube_m) {
    LampShape s;
    s.kind = LampKind::ring;
    s.a_m = diameter_m;
    s.b_m = tube_m;
    return s;
}

Reading aheadOfRing(float body) {
    Set set;
    set.light(ringLamp(0.10F, 0.05F), 1000.0, body);
    const Stage stage(set.scene);
    return illuminance_lx(stage, set.probe({0, 0, 0.2F}, {0, 0, -1}), 2048);
}

/// A flat meter at the origin facing +z, a lamp that it sees at a right angle, a lossless mirror 60 cm
/// square before it, and `flag`: a black card between lamp and meter.
Set beforeMirror(const LampShape& lamp, bool flag) {
    Set set;
    Material silver;
    silver.base = Base::metal;
    silver.reflectance = Bands(1.0F);
    set.item(sheet({0.25F, 0, 0.6F}, {0, 0, -1}, {0.6F, 0.6F}), set.material(silver), ItemKind::board);
    if (flag) set.item(sheet({0.25F, 0, 0.05F}, {1, 0, 0}, {0.2F, 0.1F}), set.matt(0.0F));
    set.light(lamp, 1000.0);
    return set;
}

}  // namespace

TEST_CASE("light straight through a scrim counts once, however many lamps there are", "[transport]") {
    checkSame(underScrim(0), underScrim(4), 0.005);
}

TEST_CASE("frosted glass: the way to the lamp is air, not glass", "[law][transport]") {
    // Luminance is the same along a ray in air (basic radiometry): a panel of the same solid angle
    // and luminance lights the same from any distance. Within 1 % for the millimetre of thickness.
    const Reading near = frosted(0.2F);
    const Reading far = frosted(2.0F);
    INFO(near.mean() << " near, " << far.mean() << " far, +- " << far.standardError());
    CHECK(far.mean() == Approx(near.mean()).epsilon(0.01));
    CHECK(far.standardError() < 0.003 * far.mean());
}

TEST_CASE("a solid that bends no light changes nothing", "[law][transport]") {
    checkSame(underSlab(true, 1.0F), underSlab(false, 1.0F), 0.01);
}

TEST_CASE("a lamp's lumens are what leaves it, whatever its body reflects", "[law][transport]") {
    // A ring lights its own inside; what that side would send back is no light of the lamp's rating.
    checkSame(aheadOfRing(0.9F), aheadOfRing(0.0F), 0.005);
}

TEST_CASE("behind a one-sided panel it is dark, at any angle", "[law][transport]") {
    for (const glm::vec3 aim : {glm::vec3(0.5F, 1.3F, 4.2F), glm::vec3(-1, 0.2F, 3), glm::vec3(0.1F, -2, 5)}) {
        Set set;
        set.light(panelLamp({0, 0, 0.8F}, aim, 0.6F, 0.6F), 1000.0, 0.8F);
        const Stage stage(set.scene);
        CHECK(illuminance_lx(stage, set.probe({0, 0, 0}, {0, 0, 1}), 4096).mean() == 0.0);
    }
}

TEST_CASE("flux balance: a panel in a white room, wherever it faces", "[law][transport]") {
    // Mean illuminance of a closed box of even reflectance rho with a lamp of flux F inside is
    // F / (A (1 - rho)): what is sent out is what is absorbed. A: the walls and both faces of the lamp.
    Set set;
    Mesh room = roomMesh(2.0F, 2.0F, 2.0F, -1.0F);
    room.slot.clear();
    set.item(std::move(room), set.matt(0.8F), ItemKind::room);
    set.light(panelLamp({0, 0, 0}, {0.3F, 0.2F, 1.0F}, 0.1F, 0.1F), 1000.0, 0.8F);
    const Stage stage(set.scene);
    double mean = 0.0;
    const glm::vec3 faces[] = {{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}};
    for (const glm::vec3 out : faces) {
        constexpr int kGrid = 6;
        const Frame frame = frameAround(-out);
        for (int i = 0; i < kGrid * kGrid; ++i) {
            const float x = (static_cast<float>(i % kGrid) + 0.5F) / kGrid * 2.0F - 1.0F;
            const float y = (static_cast<float>(i / kGrid) + 0.5F) / kGrid * 2.0F - 1.0F;
            const glm::vec3 at = 0.999F * out + 0.999F * (x * frame.x + y * frame.y);
            mean += illuminance_lx(stage, set.probe(at, -out), 64, static_cast<std::uint32_t>(i + 1)).mean();
        }
    }
    mean /= 6.0 * 36.0;
    CHECK(mean == Approx(1000.0 / (24.02 * 0.2)).epsilon(0.01));
}

TEST_CASE("a bulb in a flat mirror: its image lights as the bulb would, on the longer way", "[law][transport]") {
    // The image of (0.5, 0, 0.1) in the plane z = 0.6 is (0.5, 0, 1.1): E = I cos/d^2 from there, as
    // from the lamp itself (law of reflection; a spherical lamp above the horizon is a point).
    constexpr double kI_cd = 1000.0 / (4.0 * std::numbers::pi);
    const double direct_lx = kI_cd * 0.1 / std::pow(0.25 + 0.01, 1.5);
    const double image_lx = kI_cd * 1.1 / std::pow(0.25 + 1.21, 1.5);
    for (const bool flag : {true, false}) {
        const Set set = beforeMirror(sphereLamp({0.5F, 0, 0.1F}, 0.03F), flag);
        const Stage stage(set.scene);
        const double law_lx = image_lx + (flag ? 0.0 : direct_lx);
        const Reading e = illuminance_lx(stage, set.probe({0, 0, 0}, {0, 0, 1}), 1024);
        INFO("flag " << flag << ": " << e.mean() << " +- " << e.standardError() << ", law " << law_lx);
        CHECK(std::abs(e.mean() - law_lx) < 4.0 * e.standardError() + 1e-4 * law_lx);
        CHECK(e.mean() == Approx(law_lx).epsilon(0.005));
    }
}

TEST_CASE("a panel in a flat mirror counts once, drawn to and met by chance", "[law][transport]") {
    // A mirror is a window on the image: with a lossless mirror the meter reads what it would from a
    // second panel at the image's place, seen through an opening of the mirror's size.
    const LampShape panel = panelLamp({0.65F, 0, 0.1F}, {0.0F, 0.1F, 1.0F}, 0.4F, 0.3F);
    const Set mirrored = beforeMirror(panel, false);
    const Stage stage(mirrored.scene);
    Set window;
    window.light(stage.mirrors().at(0).image.at(0), 1000.0);
    for (const glm::vec3 side : {glm::vec3(1, 0, 0), glm::vec3(-1, 0, 0), glm::vec3(0, 1, 0), glm::vec3(0, -1, 0)})
        window.item(sheet(glm::vec3(0.25F, 0, 0.6F) + 2.3F * side, {0, 0, -1}, {4, 4}), window.matt(0.0F));
    const Stage seen(window.scene);
    const Probe meter = window.probe({0.1F, 0.05F, 0}, {0, 0, 1});
    checkSame(illuminance_lx(stage, meter, 4096), illuminance_lx(seen, meter, 4096), 0.005);
}
