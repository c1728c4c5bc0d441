// What modifiers have beside a shell: a paraboloid's focus, grids, doors, a dish's plate;
// umbrellas. Not here: shells (modifier_shells.cpp).
#include <cmath>
#include <numbers>

#include "tests/scene/modifier_check.h"

using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;
using namespace keyfall::test;

namespace {

constexpr const char* kDish =
    "shape = 'dish'\nprofile = [[6, 0], [13, 4], [21, 13]]\n"
    "deflector = { diameter = 10, distance = 6 }\n";
constexpr const char* kUmbrella =
    "shape = 'umbrella'\ncurve = 'paraboloid'\nmouth = 86\ndepth = 21\nlamp_at = 50\n";
// Eleven cells of 5 cm: the outermost walls would lie on the shell and are left out.
constexpr const char* kGrid =
    "shape = 'box'\nopening = [55, 55]\ndepth = 30\nfront = 'none'\n"
    "grid = { cell = 5, depth = 4 }";

double z(const ModifierBody& body) {
    return static_cast<double>(body.lampCentre_m.z);
}

/// Whether a ray from the back of the grid gets out.
bool passes(const ModifierBody& body, glm::dvec2 from, glm::dvec2 slope) {
    const glm::dvec3 at(from, -0.0405), way = glm::normalize(glm::dvec3(slope, 1.0));
    return exitsCrossed(body, at, way, firstHit(body, at, way, false).distance_m) == 1;
}

}  // namespace

TEST_CASE("paraboloid: light from the focus leaves parallel to the axis, within a facet's turn",
          "[modifier][law]") {
    // Focus at R^2 / 4D: 20^2 / 72 = 5.556 cm. A facet turns 3 degrees along the profile and 1.4
    // around the axis, so its normal is off by (1.5^2 + 0.7^2)^(1/2) = 1.66 degrees at most, the
    // ray by twice that.
    const ModifierBody body = built("shape = 'bowl'\ncurve = 'paraboloid'\nmouth = 40\ndepth = 18");
    CHECK_THAT(z(body) + 0.18, WithinAbs(0.2 * 0.2 / (4 * 0.18), 1e-7));
    Chance chance(5U);
    double outward = 0.0;
    constexpr int kRays = 150;
    for (int k = 0; k < kRays; ++k) {
        glm::dvec3 way = chance.direction();
        way.z = -std::abs(way.z);
        const Crossing hit = firstHit(body, glm::dvec3(body.lampCentre_m), way, false);
        REQUIRE(hit.part == &body.parts[0]);
        const glm::dvec3 sent = glm::reflect(way, hit.normal);
        CHECK(std::acos(std::min(1.0, sent.z)) < 2.0 * 1.66 * std::numbers::pi / 180.0);
        outward += glm::dot(glm::dvec2(sent), glm::normalize(glm::dvec2(way))) / kRays;
    }
    CHECK(std::abs(outward) < 0.01);  // +- 3 degrees evenly: 0.030 / sqrt 150, four times
}

TEST_CASE("paraboloid: every point lies on r^2 = R^2 d / D and no facet turns more than 3 degrees",
          "[modifier][law]") {
    const auto profile =
        modifier("shape = 'bowl'\ncurve = 'paraboloid'\nmouth = 40\ndepth = 18").profile_m;
    for (std::size_t i = 0; i < profile.size(); ++i) {
        CHECK_THAT(profile[i].x * profile[i].x, WithinAbs(0.04 * profile[i].y / 0.18, 1e-12));
        if (i < 2) continue;
        const glm::dvec2 a = glm::normalize(profile[i - 1] - profile[i - 2]),
                         b = glm::normalize(profile[i] - profile[i - 1]);
        CHECK(std::acos(glm::dot(a, b)) < 3.01 * std::numbers::pi / 180.0);
    }
}

TEST_CASE(
    "grid: nothing steeper than atan(cell sqrt 2 / depth) passes, and up to there the corners do",
    "[modifier][law]") {
    const ModifierBody body = built(kGrid);
    Chance chance(9U);
    for (int k = 0; k < 1500; ++k) {
        const double angle = 2.0 * std::numbers::pi * chance.part();
        const double tangent = (0.05 * std::sqrt(2.0) / 0.04) * (1.001 + 2.0 * chance.part());
        const glm::dvec2 from(0.55 * (chance.part() - 0.5), 0.55 * (chance.part() - 0.5));
        CHECK_FALSE(passes(body, from, tangent * glm::dvec2(std::cos(angle), std::sin(angle))));
    }
    // From a corner of a cell to the one across, at the edge of the mouth as in its middle; not
    // from the next cell over the wall's back edge, nor into it before the front edge.
    for (const double cell : {0.0, 0.05, -0.20}) {
        CHECK(passes(body, glm::dvec2(cell - 0.02499), 0.99 * glm::dvec2(0.05 / 0.04)));
        CHECK_FALSE(passes(body, glm::dvec2(cell - 0.0255), 1.01 * glm::dvec2(0.05 / 0.04)));
        CHECK_FALSE(passes(body, glm::dvec2(cell - 0.02499), 1.01 * glm::dvec2(0.05 / 0.04)));
    }
    CHECK(body.parts.at(3).mesh.triangle.size() ==
          2 * 2 * 10);  // ten walls each way, none on the shell
}

TEST_CASE("grid: along a cell's side the share that passes is 1 - (depth / cell) tan",
          "[modifier][law]") {
    const ModifierBody body = built(kGrid);
    Chance chance(13U);
    for (const double share : {0.25, 0.5, 0.8}) {
        constexpr int kRays = 5000;
        int passed = 0;
        for (int k = 0; k < kRays; ++k) {
            const glm::dvec2 from(0.55 * (chance.part() - 0.5), 0.55 * (chance.part() - 0.5));
            const double slope = (1.0 - share) * 0.05 / 0.04;
            passed +=
                passes(body, from, k % 2 == 0 ? glm::dvec2(slope, 0.0) : glm::dvec2(0.0, -slope))
                    ? 1
                    : 0;
        }
        const double error = std::sqrt(share * (1.0 - share) / kRays);
        CHECK_THAT(static_cast<double>(passed) / kRays, WithinAbs(share, 4.0 * error));
    }
}

TEST_CASE("grid: it moves the exit forward by its depth, stays behind it and within the shell",
          "[modifier]") {
    const std::string bowl = "shape = 'bowl'\nprofile = [[4.5, 0], [9, 12]]\nlamp_at = 3\n";
    const ModifierBody plain = built(bowl), body = built(bowl + "grid = { cell = 0.8, depth = 2 }");
    CHECK_THAT(z(plain) - z(body), WithinAbs(0.0205, 1e-7));
    const double rim = 0.5 * static_cast<double>(body.exits[0].shape.a_m);
    for (const ModifierPart& part : body.parts) {
        CHECK(boundsOf(part.mesh).high.z <= 0.0F);
        for (const glm::vec3& p : part.mesh.position_m)
            CHECK(glm::length(glm::dvec2(p)) < rim + 0.0021);
    }
    const Walks walks = walk(body, 60, 8);
    CHECK(walks.leaked + walks.again + walks.between == 0);
    CHECK(walk(built(kGrid), 100, 8).leaked == 0);
    CHECK(boundsOf(outsideOf(body)->mesh).high.z > -0.0002F);  // the cover goes on around the grid
    CHECK(boundsOf(outsideOf(built(kGrid))->mesh).high.z > -0.0002F);
}

TEST_CASE("doors: four leaves at the mouth's edge, left as seen from behind is +x", "[modifier]") {
    const ModifierBody body = built(
        "shape = 'bowl'\nprofile = [[4.5, 0], [9, 12]]\nlamp_at = 3\n"
        "barn_doors = [90, 45, 120, 0]");
    const ModifierPart& doors = body.parts.back();
    REQUIRE(doors.outside);
    const double r = 0.5 * static_cast<double>(body.exits[0].shape.a_m);
    const auto tip = [&](std::size_t leaf) {
        return glm::dvec3(doors.mesh.position_m[4 * leaf + 2]);
    };
    CHECK_THAT(tip(0).y, WithinAbs(r, 1e-6));  // straight forward
    CHECK_THAT(tip(0).z, WithinAbs(r, 0.0011));
    CHECK_THAT(tip(1).y, WithinAbs(-r * (1.0 - std::sqrt(0.5)), 1e-6));
    CHECK_THAT(tip(1).z, WithinAbs(r * std::sqrt(0.5), 0.0011));
    CHECK_THAT(tip(2).x, WithinAbs(1.5 * r, 1e-6));  // opened past straight forward
    CHECK_THAT(tip(3).x, WithinAbs(0.0, 1e-6));      // shut, from the right
    CHECK_THAT(static_cast<double>(doors.mesh.position_m[12].x), WithinAbs(-r, 1e-6));
    CHECK_THAT(areaOf_m2(doors.mesh),
               WithinRel(4 * 2 * r * r, 1e-5));  // a mouth wide, half a mouth long
    CHECK(boundsOf(doors.mesh).low.z > 0.0F);
    int outside = 0;
    for (const ModifierPart& part : body.parts) outside += part.outside ? 1 : 0;
    CHECK(outside == 1);
}

TEST_CASE("dish: the plate hides the lamp from the axis and stays inside", "[modifier]") {
    const ModifierBody body = built(kDish);
    const glm::dvec3 lamp(body.lampCentre_m);
    CHECK_THAT(firstHit(body, lamp, {0, 0, 1}, false).distance_m, WithinRel(0.06, 1e-6));
    const auto meets = [&](double r) {
        const glm::dvec3 way = glm::normalize(glm::dvec3(0.6 * r, 0.8 * r, 0.06));
        return firstHit(body, lamp, way, false).distance_m < 0.1;
    };
    CHECK(meets(0.0499));
    CHECK_FALSE(meets(0.0502));
    const Walks walks = walk(body, 100, 8);
    CHECK(walks.left > 5);
    CHECK(walks.leaked + walks.again + walks.between == 0);
    CHECK_THROWS_WITH(built("shape = 'dish'\nprofile = [[6, 0], [13, 4], [21, 13]]\n"
                            "deflector = { diameter = 40, distance = 6 }"),
                      Contains("touches the shell"));
    CHECK_THROWS_WITH(built("shape = 'dish'\nprofile = [[6, 0], [13, 4], [21, 13]]\n"
                            "deflector = { diameter = 8, distance = 1.2 }"),
                      Contains("a sphere of 3 cm reaches the deflector"));
}

TEST_CASE("umbrella: the bowl on the head holds what would miss the canopy", "[modifier]") {
    // A bulb of 3 cm: the head's front 1.5 + 1.5 cm behind its centre, the mouth of 18 cm then 4 cm before
    // it. So light within atan(9 / 4) = 66 degrees of the lamp's aim leaves, all else meets bowl or head
    // at no more than hypot(9, 4) = 9.9 cm.
    for (const std::string use : {"use = 'reflect'\n", "use = 'through'\ninside = 'silk'\n"}) {
        const ModifierBody body = built(kUmbrella + use + "bowl = { diameter = 18, depth = 7 }\n");
        const double aim = body.lampFacesBack ? -1.0 : 1.0;
        const auto reach_m = [&](double angle_deg, double around) {
            const double angle = angle_deg * std::numbers::pi / 180.0;
            const glm::dvec3 way(std::sin(angle) * std::cos(around), std::sin(angle) * std::sin(around), aim * std::cos(angle));
            return firstHit(body, glm::dvec3(body.lampCentre_m), way, false).distance_m;
        };
        for (const double around : {0.3, 2.0, 4.4}) {
            for (const double angle_deg : {68.0, 90.0, 120.0, 175.0}) CHECK(reach_m(angle_deg, around) < 0.0995);
            for (const double angle_deg : {5.0, 40.0, 64.0}) CHECK(reach_m(angle_deg, around) > 0.2);
        }
    }
    CHECK_THROWS_AS(built(std::string(kUmbrella) + "bowl = { diameter = 18, depth = 7 }\n", "led-panel"), ModifierMisfit);
}

TEST_CASE("umbrella: one that reflects opens to the front, its lamp looks back into it",
          "[modifier]") {
    const ModifierBody body = built(kUmbrella);
    CHECK(body.lampFacesBack);
    CHECK_THAT(z(body), WithinAbs(0.50 - 0.21, 1e-6));
    const Crossing canopy = firstHit(body, glm::dvec3(body.lampCentre_m), {1e-9, 0, -1}, false);
    CHECK_THAT(canopy.distance_m, WithinRel(0.5, 1e-6));
    CHECK(canopy.part == &body.parts[0]);
    // The head, 1.5 cm behind a bulb of 1.5 cm radius.
    CHECK_THAT(firstHit(body, glm::dvec3(body.lampCentre_m), {1e-9, 0, 1}, false).distance_m,
               WithinRel(0.03, 1e-5));
    const Crossing back = firstHit(body, {0.1, 0.1, -1.0}, {0, 0, 1}, false);
    CHECK(body.materials[back.part->material].reflectance[7] == 0.04F);
}

TEST_CASE("umbrella: one that lets light through stands with its apex to the front", "[modifier]") {
    const ModifierBody body = built(std::string(kUmbrella) + "use = 'through'\ninside = 'silk'");
    CHECK_FALSE(body.lampFacesBack);
    CHECK_THAT(z(body), WithinAbs(0.21 - 0.50, 1e-6));
    const Crossing canopy = firstHit(body, glm::dvec3(body.lampCentre_m), {1e-9, 0, 1}, false);
    CHECK_THAT(canopy.distance_m, WithinRel(0.5, 1e-6));
    CHECK(body.materials[canopy.part->material].base == Base::sheet);
    CHECK(body.parts.size() == 2);  // no black cover
}

TEST_CASE("umbrella: its exits are a closed box, each facing outward", "[modifier]") {
    for (const char* use : {"use = 'reflect'", "use = 'through'\ninside = 'silk'"}) {
        const ModifierBody body = built(std::string(kUmbrella) + use, "flash-tube");
        REQUIRE(body.exits.size() == 6);
        glm::dvec3 areas(0.0);
        double volume =
            0.0;  // divergence theorem: a third of the sum of area times distance from the origin
        for (const ExitFace& exit : body.exits) {
            const glm::vec3 right = glm::cross(exit.shape.frame.x, exit.shape.frame.y);
            CHECK(glm::distance(right, exit.shape.frame.z) < 1e-6F);
            areas += openArea_m2(exit) * glm::dvec3(exit.shape.frame.z);
            volume += openArea_m2(exit) *
                      static_cast<double>(glm::dot(exit.shape.frame.z, exit.shape.centre_m)) / 3.0;
        }
        CHECK(glm::length(areas) < 1e-6);
        // 86 cm and half a centimetre on each side; from the apex (2 mm cover) to the head behind
        // the tube.
        const bool through = !body.lampFacesBack;
        const double length = 0.50 + 0.006 + 0.015 + (through ? 0.0 : 0.002) + 0.01;
        const double width = 0.86 + (through ? 0.0 : 0.004) + 0.01;
        CHECK_THAT(volume, WithinRel(width * width * length, 1e-3));
        const Walks walks = walk(body, 60, 8);
        CHECK(walks.left > 20);
        CHECK(walks.leaked + walks.again == 0);
    }
}
