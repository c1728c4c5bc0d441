// The demo meshes in assets/meshes: closed, outward, of the size their heads state.
// Not here: how they are made (tools/lathe).
#include <fstream>
#include <numbers>

#include "tests/scene/obj_check.h"

using namespace keyfall;
using namespace keyfall::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

ObjFile demo(const std::string& name) {
    return readObj(std::filesystem::path(KEYFALL_ROOT) / "assets" / "meshes" / name, kCrease_rad);
}

/// Largest angle between a corner's normal and its triangle's plane normal.
double largestBend_deg(const Mesh& m) {
    double worst = 0.0;
    for (const auto& t : m.triangle) {
        const glm::dvec3 a(m.position_m[t[0]]), b(m.position_m[t[1]]), c(m.position_m[t[2]]);
        const glm::dvec3 n = glm::normalize(glm::cross(b - a, c - a));
        for (const std::uint32_t i : t)
            worst = std::max(worst, std::acos(std::min(1.0, glm::dot(n, glm::dvec3(m.normal[i])))));
    }
    return glm::degrees(worst);
}

double statedHeight_cm(const std::string& name) {
    std::ifstream in(std::filesystem::path(KEYFALL_ROOT) / "assets" / "meshes" / name);
    const std::string key = "Real height: ";
    for (std::string line; std::getline(in, line);)
        if (const auto at = line.find(key); at != std::string::npos)
            return std::stod(line.substr(at + key.size()));
    return 0.0;
}

double largestRadius(const Mesh& m, float fromY, float toY) {
    float r = 0.0F;
    for (const glm::vec3& p : m.position_m)
        if (p.y >= fromY && p.y <= toY) r = std::max(r, std::hypot(p.x, p.z));
    return static_cast<double>(r);
}

}  // namespace

TEST_CASE("demo meshes are closed, wound outward, with normals on their outer side", "[mesh]") {
    for (const char* name :
         {"tea_caddy.obj", "glass_jar.obj", "jar_liquid.obj", "brass_spoon.obj"}) {
        INFO(name);
        const ObjFile obj = demo(name);
        CHECK(keepsGuarantees(obj));
        CHECK(obj.warnings.empty());
        CHECK(obj.mesh.closed);
        CHECK(volumeOf_m3(obj.mesh) > 0.0);
        // One facet turns by at most 17 degrees across a rounding; inverted normals show as 90+.
        CHECK(largestBend_deg(obj.mesh) < 30.0);
        CHECK_THAT(static_cast<double>(boundsOf(obj.mesh).size().y),
                   WithinAbs(statedHeight_cm(name), 0.006));
        CHECK_THAT(boundsOf(obj.mesh).low.y, WithinAbs(name[0] == 'j' ? 0.43 : 0.0, 1e-4));
    }
}

TEST_CASE("the caddy has a body and a lid to give materials to", "[mesh]") {
    CHECK(demo("tea_caddy.obj").slotName == std::vector<std::string>{"body", "lid"});
}

TEST_CASE("the liquid reaches 0.2 mm into the jar's wall and not through it", "[mesh]") {
    const Mesh jar = demo("glass_jar.obj").mesh, liquid = demo("jar_liquid.obj").mesh;
    // The straight walls have points only where roundings end: inside at 0.45 + 0.40 cm.
    const double inner = largestRadius(jar, 0.84F, 0.86F);
    const double outer = largestRadius(jar, 0.0F, 11.0F);
    CHECK_THAT(outer - inner, WithinAbs(0.2, 0.001));
    CHECK_THAT(largestRadius(liquid, 0.0F, 11.0F) - inner, WithinAbs(0.02, 0.001));
}

TEST_CASE("the liquid's volume by Pappus: a cylinder less its rounded edge", "[mesh]") {
    // Sweeping the corner piece (1 - pi/4) R^2, whose centroid lies (10 - 3 pi) / (12 - 3 pi) R
    // from each leg (Pappus of Alexandria; centroid of a spandrel from memory, by integration).
    const double pi = std::numbers::pi, r = 3.82, h = 7.2 - 0.43, R = 0.42;
    const double spandrel = (1 - pi / 4) * R * R;
    const double centroid = r - (10 - 3 * pi) / (12 - 3 * pi) * R;
    const double round = pi * r * r * h - 2 * pi * centroid * spandrel;
    const double polygon = 96 / (2 * pi) * std::sin(2 * pi / 96);  // each level is a regular 96-gon
    CHECK_THAT(volumeOf_m3(demo("jar_liquid.obj").mesh), WithinRel(round * polygon, 1e-4));
}

TEST_CASE("the well-known meshes read: the rabbit is closed, the pot is open", "[mesh]") {
    const ObjFile bunny = demo("bunny.obj"), pot = demo("teapot.obj");
    CHECK(bunny.mesh.closed);
    CHECK(volumeOf_m3(bunny.mesh) > 0.0);
    CHECK_FALSE(pot.mesh.closed);
    CHECK(keepsGuarantees(bunny));
    CHECK(keepsGuarantees(pot));
}
