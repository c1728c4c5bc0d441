// Shells of modifiers: areas, outlines, closedness, where the lamp stands. Not here: what stands at
// the mouth (modifier_mouths.cpp), the shipped ones (modifier_library.cpp).
#include <cmath>
#include <numbers>

#include "tests/scene/modifier_check.h"

using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;
using namespace keyfall::test;

namespace {

constexpr const char* kBowl = "shape = 'bowl'\nprofile = [[2.5, 0], [9, 8]]\nlamp_at = 2.5";
constexpr const char* kBox =
    "shape = 'box'\nopening = [60, 40]\ndepth = 30\nbaffle = 'half'\nbaffle_at = 15";

}  // namespace

TEST_CASE(
    "modifiers: the exit of a round one has the area of its circle, of a box that of its opening",
    "[modifier][law]") {
    CHECK_THAT(openArea_m2(built(kBowl).exits[0]), WithinRel(std::numbers::pi * 0.09 * 0.09, 1e-6));
    CHECK_THAT(openArea_m2(built(kBox).exits[0]), WithinRel(0.6 * 0.4, 1e-6));
    // Regular octagon about a circle of radius r: 8 (sqrt 2 - 1) r^2.
    const auto octagon =
        built("shape = 'box'\nopening = [90, 90]\noutline = 'octagon'\ndepth = 40");
    CHECK_THAT(openArea_m2(octagon.exits[0]),
               WithinRel(8 * (std::sqrt(2.0) - 1) * 0.45 * 0.45, 1e-6));
    const auto round = built("shape = 'box'\nopening = [60, 60]\noutline = 'round'\ndepth = 40");
    CHECK_THAT(openArea_m2(round.exits[0]), WithinRel(std::numbers::pi * 0.09, 1e-6));
}

TEST_CASE("modifiers: the mouth's corners lie on the outline of the exit, first along x",
          "[modifier]") {
    for (const char* text :
         {kBowl, kBox, "shape = 'box'\nopening = [90, 60]\noutline = 'octagon'\ndepth = 40"}) {
        const ModifierBody body = built(text);
        for (const glm::vec3& p : body.parts[0].mesh.position_m) {
            if (p.z != 0.0F) continue;
            CHECK(isOpen(body.exits[0], 0.99999F * glm::vec2(p)));
            CHECK_FALSE(isOpen(body.exits[0], 1.00001F * glm::vec2(p)));
        }
    }
}

TEST_CASE("modifiers: a cone is a cone, and what lies around it is 2 mm off", "[modifier][law]") {
    const ModifierBody body = built(kBowl);
    // Frustum: pi (r + R) slant. The polygon's corners stand 1 / cos further out than its facets.
    CHECK_THAT(areaOf_m2(body.parts[0].mesh),
               WithinRel(std::numbers::pi * (0.025 + 0.09) * std::hypot(0.065, 0.08), 2e-4));
    Chance chance(3U);
    for (int k = 0; k < 50; ++k) {
        const double depth = 0.08 * chance.part(), angle = 2.0 * std::numbers::pi * chance.part();
        const glm::dvec3 from(0.0, 0.0, depth - 0.08), way(std::cos(angle), std::sin(angle), 0.0);
        const Crossing inside = firstHit(body, from, way, false);
        CHECK_THAT(inside.distance_m, WithinRel(0.025 + 0.065 * depth / 0.08, 2e-4));
        CHECK(inside.part == &body.parts[0]);
        const Crossing outside =
            firstHit(body, from + (inside.distance_m + 1e-5) * way, way, false);
        CHECK(outside.distance_m > 0.0019);
        CHECK(body.materials[outside.part->material].reflectance[7] == 0.04F);
    }
}

TEST_CASE("modifiers: shells are tight, and every way out crosses one exit once", "[modifier]") {
    for (const char* text :
         {kBowl, kBox,
          "shape = 'box'\nopening = [30, 30]\noutline = 'octagon'\ndepth = 20\nfront = 'none'",
          "shape = 'bowl'\nprofile = [[4, 0], [9, 3], [9, 8]]\nlamp_at = 3",
          "shape = 'snoot'\nprofile = [[6, 0], [6, 4], [2, 4.6]]\nlamp_at = 2\ninside = "
          "'white-paint'"}) {
        INFO(text);
        const ModifierBody body = built(text);
        const Walks walks = walk(body, 80, 10);
        CHECK(walks.left > 5);
        CHECK(walks.leaked == 0);
        CHECK(walks.between == 0);
        CHECK(walks.again == 0);
        CHECK(notBlackFromOutside(body, 100) == 0);
    }
}

TEST_CASE("modifiers: baffle and front close the opening up to the walls", "[modifier]") {
    const std::string box = "shape = 'box'\nopening = [60, 40]\ndepth = 30\n";
    for (const char* sheets : {"front = 'full'", "front = 'none'\nbaffle = 'half'"}) {
        const ModifierBody body = built(box + sheets);
        const glm::dvec3 from(body.lampCentre_m);
        for (int k = 0; k < 200;
             ++k) {  // toward points 1e-4 of the size within the mouth's outline
            const double s = 1.9998 * k / 200.0 - 0.9999;
            for (const glm::dvec2 edge :
                 {glm::dvec2(s, 0.9999), {s, -0.9999}, {0.9999, s}, {-0.9999, s}}) {
                const glm::dvec3 way =
                    glm::normalize(glm::dvec3(0.3 * edge.x, 0.2 * edge.y, 0.0) - from);
                CHECK(exitsCrossed(body, from, way, firstHit(body, from, way, false).distance_m) ==
                      0);
                CHECK(exitsCrossed(body, from, way, 10.0) == 1);
            }
        }
    }
}

TEST_CASE(
    "modifiers: the lamp's centre stands lamp_at behind the back, a bulky one as far as it must",
    "[modifier]") {
    CHECK_THAT(static_cast<double>(built(kBowl).lampCentre_m.z), WithinAbs(0.025 - 0.08, 1e-7));
    CHECK_THAT(static_cast<double>(built(kBox).lampCentre_m.z), WithinAbs(0.04 - 0.30, 1e-7));
    // A 7 x 1.2 cm tube across the cone r = 2.5 + 0.8125 d: its rearmost line, 3.5 cm out and 0.6
    // cm behind its centre, needs r = 3.6 cm, d = 1.354 cm. That decides: 1 mm further forward the
    // tube's end is only 0.16 mm further out. Found in steps of 0.1 mm.
    const double tube = static_cast<double>(built(kBowl, "flash-tube").lampCentre_m.z) + 0.08;
    CHECK(tube == Approx(0.025).margin(1e-7));
    const std::string flat = "shape = 'bowl'\nprofile = [[2.5, 0], [9, 8]]\nlamp_at = 0";
    const double moved = static_cast<double>(built(flat, "flash-tube").lampCentre_m.z) + 0.08;
    CHECK(moved > 0.01354 + 0.006 - 1e-6);
    CHECK(moved < 0.01354 + 0.006 + 1.1e-4);
    // A disc has no depth: 1 mm in front of the socket. A sphere touches nothing by its radius and
    // 1 mm.
    const double disc = static_cast<double>(built(flat, "led-disc").lampCentre_m.z) + 0.08;
    CHECK_THAT(disc, WithinAbs(0.001, 1e-7));
    const double bulb = static_cast<double>(built(flat, "flash-bulb").lampCentre_m.z) + 0.08;
    CHECK_THAT(bulb, WithinAbs(0.016, 1e-7));
}

TEST_CASE("modifiers: a lamp that does not fit is told with what does", "[modifier]") {
    CHECK_THROWS_WITH(built(kBowl, "led-panel"),
                      Contains("a panel of 30 x 30 cm finds no place in test") &&
                          Contains("allowed: a lamp that stays 1 mm clear"));
    CHECK_THROWS_WITH(built(kBox, "led-panel-60"),
                      Contains("too large for the opening of test, 60 x 40 cm"));
    CHECK_THROWS_AS(built(std::string(kBox) + "\nlamp_at = 14.9", "flash-bulb"), ModifierMisfit);
    CHECK_NOTHROW(built(std::string(kBox) + "\nlamp_at = 13", "flash-bulb"));
}

TEST_CASE("modifiers: symmetry and a hidden lamp are told from lamp and shape", "[modifier]") {
    CHECK(built(kBowl).symmetry == Symmetry::turned);
    CHECK(built(kBowl, "flash-tube").symmetry == Symmetry::quarter);
    CHECK(built(std::string(kBowl) + "\ngrid = { cell = 0.6, depth = 2 }").symmetry ==
          Symmetry::quarter);
    CHECK(built(kBox).symmetry == Symmetry::quarter);
    CHECK(built(kBox).hidesLamp);  // "full", the default front, has no straight light
    CHECK_FALSE(built(std::string(kBox) + "\nfront = 'none'").hidesLamp);
    CHECK_FALSE(built(kBowl).hidesLamp);
}
