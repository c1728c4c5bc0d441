// Closed diffuse enclosures: flux balance, the integrating sphere, glowing walls.
#include <catch2/catch.hpp>

#include <numbers>

#include "set.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

constexpr double kPi = std::numbers::pi;

/// Mean illuminance over the walls of a cube of `edge_m` centred at the origin with its lamp there.
/// Midpoint rule over 16 x 16 cells a wall (error of the direct part below 1e-4); by symmetry one
/// quadrant's 64 cells stand for all, dealt out over the six walls and four quadrants in turn.
Reading meanOverWalls_lx(const Stage& stage, float edge_m, std::uint32_t points) {
    Reading sum;
    const Set set;
    for (int cell = 0; cell < 64; ++cell) {
        const int axis = cell % 3;
        const float side = cell % 2 == 0 ? 1.0F : -1.0F;
        const glm::vec2 quadrant{cell % 5 < 2 ? 1.0F : -1.0F, cell % 7 < 3 ? 1.0F : -1.0F};
        const glm::vec2 u = quadrant * (glm::vec2(cell % 8, cell / 8) + 0.5F) / 16.0F;
        glm::vec3 at(0.0F);
        at[axis] = side * (0.5F * edge_m - 1e-4F);
        at[(axis + 1) % 3] = u.x * edge_m;
        at[(axis + 2) % 3] = u.y * edge_m;
        glm::vec3 facing(0.0F);
        facing[axis] = -side;
        sum += illuminance_lx(stage, set.probe(at, facing), points, static_cast<std::uint32_t>(cell + 1));
    }
    sum *= 1.0 / 64;
    return sum;
}

/// A closed cube of reflectance rho, 4 m, with a small isotropic lamp of 10 000 lm at its centre.
Set cube(float rho) {
    Set set;
    const std::size_t wall = set.matt(rho);
    Mesh room = roomMesh(4.0F, 4.0F, 4.0F, -2.0F);
    room.slot.clear();
    set.item(std::move(room), wall);
    set.light(sphereLamp(glm::vec3(0.0F), 0.02F), 10000.0);
    return set;
}

}  // namespace

TEST_CASE("flux balance: the mean illuminance of a closed cube is flux / (area (1 - rho))", "[law][transport][long]") {
    // Energy conservation, exact for any closed shape (derived). The indirect
    // part is CIE 171:2006 case 5.8, Table 20: 104, 937, 1979 lx at 0.5, 0.9, 0.95.
    const auto [rho, tolerance, table_lx] = GENERATE(table<float, double, double>(
        {{0.5F, 0.01, 104.0}, {0.9F, 0.01, 937.0}, {0.95F, 0.02, 1979.0}}));
    const Set set = cube(rho);
    const Stage stage(set.scene);
    const Reading mean_lx = meanOverWalls_lx(stage, 4.0F, 64);
    const double area_m2 = 96.0;
    const double r = static_cast<double>(rho);
    const double exact_lx = 10000.0 / (area_m2 * (1.0 - r));
    INFO("rho " << rho << ": " << mean_lx.mean() << " +- " << mean_lx.standardError() << ", exact " << exact_lx);
    CHECK(std::abs(mean_lx.mean() - exact_lx) < 4.0 * mean_lx.standardError());
    CHECK(mean_lx.mean() == Approx(exact_lx).epsilon(tolerance));
    CHECK(mean_lx.mean() - 10000.0 / area_m2 == Approx(table_lx).epsilon(tolerance));
}

TEST_CASE("integrating sphere: the wall's illuminance is flux / area / (1 - rho)", "[law][transport]") {
    // Integrating sphere theory: indirect E = Phi rho / (A (1 - rho)), plus an even direct part. The lamp is at the centre, so direct light is even; rho 0.8.
    Set set;
    Mesh sphere = sphereMesh(2.0F);
    for (glm::vec3& p : sphere.position_m) p.y -= 1.0F;
    set.item(std::move(sphere), set.matt(0.8F));
    set.light(sphereLamp(glm::vec3(0.0F), 0.05F), 1000.0);
    const Stage stage(set.scene);
    const glm::vec3 direction = glm::normalize(glm::vec3(0.3F, -0.5F, 0.8F));
    const Reading e = illuminance_lx(stage, set.probe(0.995F * direction, -direction), 1024);
    const double exact_lx = 1000.0 / (4.0 * kPi) / (1.0 - 0.8);
    INFO(e.mean() << " +- " << e.standardError() << ", exact " << exact_lx);
    CHECK(e.mean() == Approx(exact_lx).epsilon(0.01));
}

TEST_CASE("integrating sphere with two lamps off its centre: direct light plus an even rest", "[law][transport]") {
    // In a sphere a matt wall element lights every other one equally (cos cos'/d^2 = 1/(4 R^2)), so
    // the indirect part is Phi rho / (A (1 - rho)) wherever the lamps stand. Two lamps of unequal
    // flux: the later vertices of a path choose one of them, and the choice must be paid back.
    Set set;
    Mesh sphere = sphereMesh(2.0F);
    for (glm::vec3& p : sphere.position_m) p.y -= 1.0F;
    set.item(std::move(sphere), set.matt(0.8F));
    const glm::vec3 lamps_m[2] = {{0.3F, 0.0F, 0.1F}, {-0.5F, 0.3F, -0.2F}};
    const double fluxes_lm[2] = {1000.0, 3000.0};
    for (int l = 0; l < 2; ++l) set.light(sphereLamp(lamps_m[l], 0.01F), fluxes_lm[l]);
    const Stage stage(set.scene);
    const glm::vec3 direction = glm::normalize(glm::vec3(0.3F, -0.5F, 0.8F));
    const glm::vec3 at_m = 0.998F * direction;
    double exact_lx = 4000.0 * 0.8 / (4.0 * kPi * 0.2);
    for (int l = 0; l < 2; ++l) {
        const glm::vec3 to = lamps_m[l] - at_m;
        const double d = static_cast<double>(glm::length(to));
        exact_lx += fluxes_lm[l] / (4.0 * kPi) * static_cast<double>(glm::dot(to, -direction)) / (d * d * d);
    }
    const Reading e = illuminance_lx(stage, set.probe(at_m, -direction), 2048);
    INFO(e.mean() << " +- " << e.standardError() << ", exact " << exact_lx);
    CHECK(e.mean() == Approx(exact_lx).epsilon(0.01));
    CHECK(std::abs(e.mean() - exact_lx) < 4.0 * e.standardError() + 0.002 * exact_lx);
}

TEST_CASE("glowing box: walls that emit L and reflect rho show L / (1 - rho)", "[law][transport]") {
    // Shirley (1991): 64 cd/m^2 at rho 128/255 shows 128.5 (published for a glowing box).
    Set set;
    Material wall;
    wall.reflectance = Bands(128.0F / 255.0F);
    wall.glow_cdm2 = Bands(64.0F);
    Mesh room = roomMesh(2.0F, 2.0F, 2.0F, -1.0F);
    room.slot.clear();
    set.item(std::move(room), set.material(wall));
    const Stage stage(set.scene);
    const Reading e = illuminance_lx(stage, set.probe({0.2F, 0.1F, 0.3F}, {0, 1, 0}), 4096);
    INFO("luminance " << e.mean() / kPi << " +- " << e.standardError() / kPi);
    CHECK(e.mean() / kPi == Approx(64.0 / (1.0 - 128.0 / 255.0)).epsilon(0.002));
}
