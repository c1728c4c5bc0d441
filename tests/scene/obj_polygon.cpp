// Splitting polygons against the shoelace formula. Not here: reading them (obj_good.cpp).
#include <catch2/catch.hpp>
#include <numbers>
#include <random>

#include "scene/obj_raw.h"

using namespace keyfall;
using Catch::Matchers::WithinRel;

namespace {

/// Area as the sum of the triangles' areas, each without sign: overlaps or spikes show as too much.
double areaOf(const std::vector<glm::dvec3>& p,
              const std::vector<std::array<std::uint32_t, 3>>& triangles) {
    double sum = 0.0;
    for (const auto& t : triangles)
        sum += 0.5 * glm::length(glm::cross(p[t[1]] - p[t[0]], p[t[2]] - p[t[0]]));
    return sum;
}

}  // namespace

TEST_CASE("random polygons, concave and tilted: n - 2 triangles that fill the shoelace area",
          "[obj][polygon]") {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> radius(0.2, 1.0), axis(-1.0, 1.0);
    for (int round = 0; round < 200; ++round) {
        const std::size_t n = 3 + random() % 40;
        const glm::dvec3 normal =
            glm::normalize(glm::dvec3(axis(random), axis(random), axis(random) + 1.5));
        const glm::dvec3 u = glm::normalize(glm::cross(normal, glm::dvec3(0.3, 1, 0.2)));
        const glm::dvec3 v = glm::cross(normal, u);
        std::vector<glm::dvec2> flat;
        std::vector<glm::dvec3> corner;
        for (std::size_t i = 0; i < n; ++i) {
            const double a = 2 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(n);
            const double r = radius(random);
            flat.emplace_back(r * std::cos(a), r * std::sin(a));
            corner.push_back(flat[i].x * u + flat[i].y * v);
        }
        double shoelace = 0.0;  // Gauss: half the sum of x[i] y[i+1] - x[i+1] y[i]
        for (std::size_t i = 0; i < n; ++i) {
            const glm::dvec2 a = flat[i], b = flat[(i + 1) % n];
            shoelace += 0.5 * (a.x * b.y - b.x * a.y);
        }
        const auto triangles = splitPolygon(corner);
        REQUIRE(triangles.size() == n - 2);
        CHECK_THAT(areaOf(corner, triangles), WithinRel(shoelace, 1e-9));
        for (const auto& t : triangles)
            CHECK(glm::dot(glm::cross(corner[t[1]] - corner[t[0]], corner[t[2]] - corner[t[0]]),
                           normal) > -1e-12);
    }
}

TEST_CASE("a bent quad is cut along its shorter diagonal", "[obj][polygon]") {
    const std::vector<glm::dvec3> kite{{0, 0, 0}, {2, 0, 0.1}, {2.5, 0.5, 0}, {0, 2, 0.1}};
    // |0-2| = 2.55, |1-3| = 2.83
    for (const auto& t : splitPolygon(kite)) {
        CHECK(std::count(t.begin(), t.end(), 0U) == 1);
        CHECK(std::count(t.begin(), t.end(), 2U) == 1);
    }
}

TEST_CASE("a polygon that crosses itself still gives n - 2 triangles and ends", "[obj][polygon]") {
    std::vector<glm::dvec3> star;  // pentagram
    for (int i = 0; i < 5; ++i) {
        const double a = 4 * std::numbers::pi * i / 5;
        star.emplace_back(std::cos(a), std::sin(a), 0.0);
    }
    CHECK(splitPolygon(star).size() == 3);
    CHECK(splitPolygon({{0, 0, 0}, {1, 0, 0}}).empty());
    const std::vector<glm::dvec3> samePoint(7, glm::dvec3(1.0));
    CHECK(splitPolygon(samePoint).size() == 5);
}
