// Area, volume, bounds, welding and closedness of meshes. Not here: files (obj_good.cpp).
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "scene/mesh.h"
#include "scene/mesh_weld.h"

using namespace keyfall;
using Catch::Matchers::WithinRel;

namespace {

/// Corner tetrahedron with legs a, b, c, wound outward.
Mesh tetrahedron(glm::vec3 legs, glm::vec3 at = glm::vec3(0.0F)) {
    Mesh mesh;
    mesh.position_m = {at, at + glm::vec3(legs.x, 0, 0), at + glm::vec3(0, legs.y, 0),
                       at + glm::vec3(0, 0, legs.z)};
    mesh.triangle = {{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}};
    return mesh;
}

bool closedAfter(Mesh mesh) {
    findWhetherClosed(mesh);
    return mesh.closed;
}

}  // namespace

TEST_CASE("a corner tetrahedron has volume abc/6 and De Gua's area", "[mesh]") {
    // De Gua (1783): the squared area of the slant face is the sum of the squares of the others.
    const double a = 3, b = 4, c = 5;
    const double legs = (a * b + b * c + c * a) / 2;
    const double slant = 0.5 * std::sqrt(a * a * b * b + b * b * c * c + c * c * a * a);
    const Mesh mesh = tetrahedron({3, 4, 5});
    CHECK_THAT(areaOf_m2(mesh), WithinRel(legs + slant, 1e-12));
    CHECK_THAT(volumeOf_m3(mesh), WithinRel(a * b * c / 6, 1e-12));
    CHECK(boundsOf(mesh).low == glm::vec3(0.0F));
    CHECK(boundsOf(mesh).high == glm::vec3(3, 4, 5));
}

TEST_CASE("volume keeps its digits away from the origin and its sign with the winding", "[mesh]") {
    Mesh mesh = tetrahedron({0.5F, 0.25F, 0.125F}, {1024, -512, 256});  // exact in binary
    CHECK_THAT(volumeOf_m3(mesh), WithinRel(0.5 * 0.25 * 0.125 / 6, 1e-12));
    for (auto& t : mesh.triangle) std::swap(t[0], t[1]);
    CHECK_THAT(volumeOf_m3(mesh), WithinRel(-0.5 * 0.25 * 0.125 / 6, 1e-12));
}

TEST_CASE("closed: every edge has exactly two triangles, wound oppositely", "[mesh]") {
    const Mesh whole = tetrahedron({1, 1, 1});
    CHECK(closedAfter(whole));
    CHECK_FALSE(closedAfter(Mesh{}));

    Mesh open = whole;
    open.triangle.pop_back();
    CHECK_FALSE(closedAfter(open));

    Mesh doubled = whole;
    doubled.triangle.push_back(doubled.triangle[0]);
    CHECK_FALSE(closedAfter(doubled));

    Mesh twice = whole;  // the same surface twice: every edge has four
    twice.triangle.insert(twice.triangle.end(), whole.triangle.begin(), whole.triangle.end());
    CHECK_FALSE(closedAfter(twice));
}

TEST_CASE("of all ways to leave out or flip faces of a tetrahedron only two are closed", "[mesh]") {
    // Each face absent, outward or inward: 3^4 surfaces; closed are all outward and all inward.
    const Mesh whole = tetrahedron({1, 1, 1});
    int closed = 0;
    for (int state = 0; state < 81; ++state) {
        Mesh mesh = whole;
        mesh.triangle.clear();
        for (int face = 0, rest = state; face < 4; ++face, rest /= 3) {
            auto t = whole.triangle[static_cast<std::size_t>(face)];
            if (rest % 3 == 2) std::swap(t[0], t[1]);
            if (rest % 3 != 0) mesh.triangle.push_back(t);
        }
        const bool isClosed = closedAfter(mesh);
        CHECK(isClosed == (state == 40 || state == 80));
        closed += isClosed ? 1 : 0;
    }
    CHECK(closed == 2);
}

TEST_CASE("closedness goes by place, not by index; minus zero is zero", "[mesh]") {
    const Mesh shared = tetrahedron({1, 1, 1});
    Mesh own;
    for (const auto& t : shared.triangle) {
        const auto first = static_cast<std::uint32_t>(own.position_m.size());
        for (const std::uint32_t i : t) own.position_m.push_back(shared.position_m[i]);
        own.triangle.push_back({first, first + 1, first + 2});
    }
    own.position_m[0].x = -0.0F;
    CHECK(closedAfter(own));
    own.position_m[0].x = 1e-6F;  // bit-equal means bit-equal
    CHECK_FALSE(closedAfter(own));
}

TEST_CASE("a triangle that welding collapses does not open a closed mesh", "[mesh]") {
    Mesh mesh = tetrahedron({1, 1, 1});
    mesh.triangle.push_back({1, 1, 2});
    CHECK(closedAfter(mesh));
}

TEST_CASE("welding finds every neighbour within the tolerance and none beyond", "[mesh]") {
    // Against the plain comparison of all pairs. Pairs at 0.5 and 1.5 tolerances, anywhere: cell
    // borders of the grid are met in about one pair of three.
    std::mt19937 random(7);
    std::uniform_real_distribution<float> place(-1.0F, 1.0F);
    std::normal_distribution<float> direction;
    const float tolerance = 1e-4F;
    std::vector<glm::vec3> points;
    for (int i = 0; i < 2000; ++i) {
        const glm::vec3 p(place(random), place(random), place(random));
        const glm::vec3 d(direction(random), direction(random), direction(random));
        points.push_back(p);
        points.push_back(p + glm::normalize(d) * tolerance * (i % 2 == 0 ? 0.5F : 1.5F));
    }
    const std::vector<std::uint32_t> weld = weldPositions(points, tolerance);
    std::size_t wrong = 0;
    for (std::uint32_t i = 0; i < points.size(); ++i) {
        const bool isMate = i % 2 == 1 && (i / 2) % 2 == 0;
        if (weld[i] != (isMate ? i - 1 : i)) ++wrong;
    }
    CHECK(wrong == 0);  // 4000 points in a volume of 8: two strangers within 1e-4 are a 1e-5 chance
}

TEST_CASE("welding takes places that no whole number counts in tolerances", "[mesh]") {
    // 1e38 / (16 * 1e-6) is far beyond 2^63; a cast of it is undefined in C++ (conv.fpint).
    const std::vector<glm::vec3> points{{1e38F, 0, 0},  {-1e38F, 0, 0}, {1e38F, 0, 0},
                                        {1e30F, 0, 0},  {0, 3e38F, 0},  {0, 0, 0},
                                        {0, 3e38F, 0},  {5e-7F, 0, 0},  {-1e38F, 0, 0}};
    CHECK(weldPositions(points, 1e-6F) == std::vector<std::uint32_t>{0, 1, 0, 3, 4, 5, 4, 5, 1});
}
