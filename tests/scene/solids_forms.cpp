// Simple solids against the closed forms of their shapes. Not here: meshes from files.
// Formulas: Euclid and Archimedes, unless a case says otherwise.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "scene/solids.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

/// Smallest cosine between a corner's normal and its triangle's plane normal by the winding.
double leastAgreement(const Mesh& m) {
    double least = 1.0;
    for (const auto& t : m.triangle) {
        const glm::dvec3 a(m.position_m[t[0]]), b(m.position_m[t[1]]), c(m.position_m[t[2]]);
        const glm::dvec3 n = glm::normalize(glm::cross(b - a, c - a));
        for (const std::uint32_t i : t)
            least = std::min(least, glm::dot(n, glm::dvec3(m.normal[i])));
    }
    return least;
}

void checkStandsCentred(const Mesh& m, glm::vec3 size) {
    const Box3 box = boundsOf(m);
    for (int k = 0; k < 3; ++k) CHECK_THAT(box.size()[k], WithinRel(size[k], 1e-4F));
    CHECK(box.low.y == 0.0F);
    CHECK_THAT(box.middle().x, WithinAbs(0.0, 1e-6));
    CHECK_THAT(box.middle().z, WithinAbs(0.0, 1e-6));
}

}  // namespace

TEST_CASE("a box: 2 (wh + hd + dw), whd, sharp and outward", "[solids]") {
    const Mesh m = boxMesh({0.2F, 0.5F, 0.3F});
    CHECK_THAT(areaOf_m2(m), WithinRel(2 * (0.2 * 0.5 + 0.5 * 0.3 + 0.3 * 0.2), 1e-6));
    CHECK_THAT(volumeOf_m3(m), WithinRel(0.2 * 0.5 * 0.3, 1e-6));
    CHECK(m.closed);
    CHECK_THAT(leastAgreement(m), WithinAbs(1.0, 1e-6));
    checkStandsCentred(m, {0.2F, 0.5F, 0.3F});
}

TEST_CASE("a cylinder: pi r^2 h within its 256 sides, side smooth, rims sharp", "[solids]") {
    const Mesh m = cylinderMesh(0.12F, 0.04F);
    // A regular N-gon has area N/2 r^2 sin(2 pi/N) and side 2 r sin(pi/N).
    const double r = 0.06, h = 0.04, polygon = 128 * r * r * std::sin(2 * std::numbers::pi / 256);
    CHECK_THAT(volumeOf_m3(m), WithinRel(polygon * h, 1e-5));
    CHECK_THAT(volumeOf_m3(m), WithinRel(std::numbers::pi * r * r * h, 2e-4));
    CHECK_THAT(areaOf_m2(m), WithinRel(2 * polygon + 512 * r * std::sin(std::numbers::pi / 256) * h, 1e-5));
    CHECK(m.closed);
    // Smooth side: half a facet off, cos(pi/256). Sharp rims: nothing between.
    CHECK(leastAgreement(m) > std::cos(std::numbers::pi / 256) - 1e-5);
    for (const glm::vec3& n : m.normal) CHECK((n.y == 0.0F || std::abs(n.y) == 1.0F));
    checkStandsCentred(m, {0.12F, 0.04F, 0.12F});
}

TEST_CASE("a sphere: chord error under 1e-4 of its radius, radial normals", "[solids]") {
    const Mesh m = sphereMesh(0.05F);
    const glm::dvec3 centre(0.0, 0.025, 0.0);
    double deepest = 0.0, worst = 1.0;
    for (const auto& t : m.triangle) {
        const glm::dvec3 a(m.position_m[t[0]]), b(m.position_m[t[1]]), c(m.position_m[t[2]]);
        deepest = std::max(deepest, 1.0 - glm::distance((a + b + c) / 3.0, centre) / 0.025);
        const glm::dvec3 n = glm::normalize(a - centre);
        worst = std::min(worst, glm::dot(n, glm::dvec3(m.normal[t[0]])));
    }
    CHECK(deepest < 1e-4);
    CHECK(worst > 1.0 - 1e-6);
    CHECK_THAT(areaOf_m2(m), WithinRel(4 * std::numbers::pi * 0.025 * 0.025, 2e-4));
    CHECK_THAT(volumeOf_m3(m), WithinRel(4.0 / 3 * std::numbers::pi * std::pow(0.025, 3), 3e-4));
    CHECK(m.closed);
    CHECK(leastAgreement(m) > 0.999);
    checkStandsCentred(m, glm::vec3(0.05F));
}

TEST_CASE("a sheet faces its frame's z, width along x", "[solids]") {
    const Frame frame{{0, 0, -1}, {0, 1, 0}, {1, 0, 0}};
    const Mesh m = sheetMesh({0.4F, 0.3F}, {1, 2, 3}, frame);
    CHECK_THAT(areaOf_m2(m), WithinRel(0.12, 1e-6));
    CHECK_THAT(leastAgreement(m), WithinAbs(1.0, 1e-6));
    CHECK(m.normal[0] == glm::vec3(1, 0, 0));
    CHECK_THAT(boundsOf(m).size().z, WithinRel(0.4F, 1e-6F));
    CHECK_THAT(boundsOf(m).size().y, WithinRel(0.3F, 1e-6F));
    CHECK_FALSE(m.closed);
}

TEST_CASE("a sweep: level, a quarter arc, upright; lit from above and from the front", "[solids]") {
    const double width = 2.0, front = 0.4, back = 0.6, height = 1.5, r = 0.25;
    const Mesh m = sweepMesh(2.0F, 0.4F, 0.6F, 1.5F, 0.25F);
    const double length = (front + back - r) + std::numbers::pi * r / 2 + (height - r);
    CHECK_THAT(areaOf_m2(m), WithinRel(width * length, 1e-4));
    CHECK(leastAgreement(m) > 0.9999);
    CHECK(m.normal.front() == glm::vec3(0, 1, 0));
    CHECK_THAT(m.normal.back().z, WithinAbs(1.0, 1e-6));
    CHECK_THAT(boundsOf(m).low.z, WithinRel(-0.6F, 1e-6F));
    CHECK_THAT(boundsOf(m).high.z, WithinRel(0.4F, 1e-6F));
    CHECK_THAT(boundsOf(m).high.y, WithinRel(1.5F, 1e-6F));
    CHECK(boundsOf(m).low.y == 0.0F);
}

TEST_CASE("a room is a box seen from inside: walls 0, ceiling 1, floor 2", "[solids]") {
    const Mesh m = roomMesh(4.0F, 5.0F, 2.6F, -0.75F);
    CHECK_THAT(volumeOf_m3(m), WithinRel(-4.0 * 5.0 * 2.6, 1e-6));
    CHECK(leastAgreement(m) > 0.9999);
    REQUIRE(m.slot.size() == m.triangle.size());
    double area[3] = {0, 0, 0};
    for (std::size_t t = 0; t < m.triangle.size(); ++t) {
        Mesh one = m;
        one.triangle = {m.triangle[t]};
        area[m.slot[t]] += areaOf_m2(one);
        const glm::vec3 n = m.normal[m.triangle[t][0]];
        CHECK(n.y == (m.slot[t] == 1 ? -1.0F : m.slot[t] == 2 ? 1.0F : 0.0F));
    }
    CHECK_THAT(area[0], WithinRel(2 * (4.0 + 5.0) * 2.6, 1e-6));
    CHECK_THAT(area[1], WithinRel(20.0, 1e-6));
    CHECK_THAT(area[2], WithinRel(20.0, 1e-6));
    CHECK(boundsOf(m).low.y == -0.75F);
}

TEST_CASE("placing turns positions and normals together and keeps sizes", "[solids]") {
    Mesh m = boxMesh({0.2F, 0.5F, 0.3F});
    const float a = 0.7F;
    const Frame turned{{std::cos(a), 0, -std::sin(a)}, {0, 1, 0}, {std::sin(a), 0, std::cos(a)}};
    place(m, turned, {1, 2, 3});
    CHECK_THAT(volumeOf_m3(m), WithinRel(0.2 * 0.5 * 0.3, 1e-5));
    CHECK(leastAgreement(m) > 0.99999);
    CHECK(boundsOf(m).low.y == 2.0F);
    CHECK_THAT(boundsOf(m).middle().x, WithinRel(1.0F, 1e-5F));
}
