// Cells of near-field tables: every place has one, and each is as large as it is hit often.
// Not here: filling them (tests/transport/bake_test.cpp).
#include "scene/near_field_table.h"

#include <catch2/catch.hpp>
#include <numbers>
#include <random>

using namespace keyfall;

namespace {

TableFace faceOf(LampKind kind, float a_m, float b_m, int sides, int along, int across, int directions,
                 bool folded) {
    TableFace f;
    f.exit.shape.kind = kind;
    f.exit.shape.a_m = a_m;
    f.exit.shape.b_m = b_m;
    f.exit.sides = sides;
    f.along = along;
    f.across = across;
    f.directions = directions;
    f.folded = folded;
    return f;
}

struct Named {
    const char* name;
    TableFace face;
};
std::vector<Named> faces() {
    return {{"disc in rings", faceOf(LampKind::disc, 0.18F, 0, 0, 4, 1, 6, true)},
            {"disc in rings, odd", faceOf(LampKind::disc, 0.18F, 0, 0, 3, 1, 5, true)},
            {"polygon, a quarter in sectors", faceOf(LampKind::disc, 0.18F, 0, 256, 3, 3, 4, true)},
            {"disc, whole", faceOf(LampKind::disc, 0.3F, 0, 0, 2, 5, 4, false)},
            {"panel, a quarter", faceOf(LampKind::panel, 0.6F, 0.4F, 0, 3, 2, 4, true)},
            {"panel, whole", faceOf(LampKind::panel, 0.6F, 0.4F, 0, 3, 4, 3, false)},
            {"octagon", faceOf(LampKind::panel, 0.9F, 0.9F, 8, 4, 4, 2, true)}};
}

/// A point of the face's shape and a cosine-distributed direction: even over what cells measure.
struct Draw {
    glm::vec2 local_m;
    glm::vec3 direction;
};
Draw drawOn(const TableFace& face, std::mt19937& engine) {
    const auto one = [&] { return static_cast<float>(engine() >> 8U) * 0x1p-24F; };
    const auto onDisc = [&] {
        for (;;) {
            const float x = 2.0F * one() - 1.0F;
            const glm::vec2 p(x, 2.0F * one() - 1.0F);
            if (glm::dot(p, p) < 1.0F) return p;
        }
    };
    for (;;) {
        const LampShape& s = face.exit.shape;
        const float u = one();
        const glm::vec2 p = s.kind == LampKind::disc ? 0.5F * s.a_m * onDisc()
                                                     : (glm::vec2(u, one()) - 0.5F) * glm::vec2(s.a_m, s.b_m);
        if (!isOpen(face.exit, p)) continue;
        const glm::vec2 d = onDisc();
        return {p, {d.x, d.y, std::sqrt(1.0F - glm::dot(d, d))}};
    }
}

}  // namespace

TEST_CASE("cells measure pi times the open area in all", "[table][law]") {
    for (const Named& n : faces()) {
        double sum = 0.0;
        for (const double m : cellMeasures_srM2(n.face)) sum += m;
        INFO(n.name);
        // 1024 points in a cell that the outline cuts.
        const double slack = n.face.exit.sides == 8 ? 2e-3 : n.face.exit.sides > 0 ? 3e-4 : 1e-6;
        CHECK(sum == Approx(std::numbers::pi * openArea_m2(n.face.exit)).epsilon(slack));
    }
}

TEST_CASE("cells are hit as often as they measure", "[table]") {
    for (const Named& n : faces()) {
        const std::vector<double> measure = cellMeasures_srM2(n.face);
        double whole = 0.0;
        for (const double m : measure) whole += m;
        std::vector<double> observed(n.face.cellCount(), 0.0);
        std::mt19937 engine(11U);
        constexpr int kDraws = 60000;
        for (int i = 0; i < kDraws; ++i) {
            const Draw d = drawOn(n.face, engine);
            observed.at(cellOf(n.face, d.local_m, d.direction)) += 1.0;
        }
        // Pearson's chi-square over the cells that expect 10 draws; its mean is their number, its
        // variance twice that.
        double statistic = 0.0, cells = 0.0;
        for (std::size_t c = 0; c < measure.size(); ++c) {
            const double expected = kDraws * measure[c] / whole;
            if (expected < 10.0) continue;
            statistic += (observed[c] - expected) * (observed[c] - expected) / expected;
            cells += 1.0;
        }
        INFO(n.name << ": " << statistic << " for " << cells);
        CHECK(std::abs(statistic - cells) < 5.0 * std::sqrt(2.0 * cells) + 1.0);
    }
}

TEST_CASE("a ray drawn in a cell lies in that cell", "[table]") {
    std::mt19937 engine(4U);
    const auto one = [&] { return static_cast<float>(engine() >> 8U) * 0x1p-24F; };
    // Clear of the cell's edges by more than rounding.
    const auto inside = [&] {
        const float x = 0.01F + 0.98F * one();
        return glm::vec2(x, 0.01F + 0.98F * one());
    };
    for (const auto& [name, face] : faces()) {
        const std::vector<double> measure = cellMeasures_srM2(face);
        int below = 0;
        for (int i = 0; i < 20000; ++i) {
            const std::size_t cell = engine() % face.cellCount();
            if (measure[cell] <= 0.0) continue;
            const glm::vec2 position = inside();
            const ExitRay ray = rayOfCell(face, cell, position, inside());
            INFO(name << " cell " << cell);
            if (ray.direction.z <= 0.0F) {
                ++below;
                continue;
            }
            CHECK(glm::length(ray.direction) == Approx(1.0F).margin(1e-5));
            CHECK(cellOf(face, ray.local_m, ray.direction) == cell);
        }
        CHECK(below < 8000);
    }
}

TEST_CASE("a folded face's mirror images share a cell, an unfolded one's do not", "[table]") {
    const glm::vec2 p(0.031F, 0.052F);
    const glm::vec3 d = glm::normalize(glm::vec3(0.4F, -0.25F, 0.8F));
    for (const Named& n : faces()) {
        const std::size_t own = cellOf(n.face, p, d);
        for (const glm::vec2 mirror : {glm::vec2(-1, 1), glm::vec2(1, -1), glm::vec2(-1, -1)}) {
            const std::size_t image = cellOf(n.face, mirror * p, glm::vec3(mirror * glm::vec2(d), d.z));
            INFO(n.name);
            CHECK((image == own) == n.face.folded);
        }
    }
    // In rings, any turn about the axis is one place.
    const TableFace rings = faces().front().face;
    const float c = std::cos(1.1F), s = std::sin(1.1F);
    CHECK(cellOf(rings, p, d) == cellOf(rings, {c * p.x - s * p.y, s * p.x + c * p.y},
                                        {c * d.x - s * d.y, s * d.x + c * d.y, d.z}));
}

TEST_CASE("a face of even luminance 1 sends pi times its area, and nothing outside of it", "[table][law]") {
    for (const Named& n : faces()) {
        TableFace face = n.face;
        face.luminance.assign(face.cellCount() * kBands, 1.0F);
        INFO(n.name);
        CHECK(fluxOf(face)[7] == Approx(std::numbers::pi * openArea_m2(face.exit)).epsilon(2e-3));
        const float out = 0.51F * face.exit.shape.a_m;
        CHECK(luminance_perSrM2(face, {0.01F, 0.01F}, {0, 0, 1})[3] == 1.0F);
        CHECK(luminance_perSrM2(face, {0.01F, 0.01F}, {0.6F, 0, -0.8F})[3] == 0.0F);
        CHECK(luminance_perSrM2(face, {out, 0.0F}, {0, 0, 1})[3] == 0.0F);
    }
}
