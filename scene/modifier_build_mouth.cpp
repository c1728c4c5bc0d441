// What every shell has at its mouth: the rim, a grid, barn doors, the exit face.
// Not here: the shells (modifier_build_lathe.cpp, modifier_build_box.cpp).
#include <algorithm>
#include <array>
#include <cmath>

#include "scene/modifier_build_parts.h"

namespace keyfall::modifiers {
namespace {

/// Where the line x = `at` (axis 0) or y = `at` (axis 1) runs inside the convex polygon.
glm::dvec2 chord(const Polygon& polygon, int axis, double at) {
    glm::dvec2 span(1e30, -1e30);
    for (std::size_t k = 0; k < polygon.size(); ++k) {
        const glm::dvec2 p = polygon[k], q = polygon[(k + 1) % polygon.size()];
        const double dp = p[axis] - at, dq = q[axis] - at;
        if (dp == dq || dp * dq > 0.0) continue;
        const double crossing = glm::mix(p[1 - axis], q[1 - axis], dp / (dp - dq));
        span = {std::min(span.x, crossing), std::max(span.y, crossing)};
    }
    return span;
}

void addQuad(Mesh& mesh, const std::array<glm::dvec3, 4>& corner) {
    const auto first = static_cast<std::uint32_t>(mesh.position_m.size());
    for (const glm::dvec3& p : corner) mesh.position_m.emplace_back(p);
    mesh.triangle.push_back({first, first + 1, first + 2});
    mesh.triangle.push_back({first, first + 2, first + 3});
}

/// The walls across one axis. A cell stands in the middle; a wall that would lie on the shell's own
/// is left out.
void addWalls(Mesh& mesh, const Polygon& mouth, int axis, const GridModel& grid) {
    constexpr double kOnShell_m = 1e-4;
    double half = 0.0;
    for (const glm::dvec2& p : mouth) half = std::max(half, std::abs(p[axis]));
    const double front = -kRecess_m, back = front - grid.depth_m;
    for (int k = 0; (k + 0.5) * grid.cell_m < half - kOnShell_m; ++k)
        for (const double side : {-1.0, 1.0}) {
            const double at = side * (k + 0.5) * grid.cell_m;
            const glm::dvec2 span = chord(mouth, axis, at);
            const auto point = [&](double across, double z) {
                return axis == 0 ? glm::dvec3(at, across, z) : glm::dvec3(across, at, z);
            };
            addQuad(mesh, {point(span.x, back), point(span.y, back), point(span.y, front),
                           point(span.x, front)});
        }
}

/// A leaf hinged along x at height `hinge` above the axis; `angle` 0 hangs down over the mouth.
std::array<glm::dvec3, 4> leaf(double width, double length, double hinge, double z, double angle) {
    const double y = hinge - length * std::cos(angle), tip = z + length * std::sin(angle);
    return {glm::dvec3(-0.5 * width, hinge, z), glm::dvec3(0.5 * width, hinge, z),
            glm::dvec3(0.5 * width, y, tip), glm::dvec3(-0.5 * width, y, tip)};
}

}  // namespace

double mouthDepth_m(const ModifierModel& model) {
    return model.grid ? model.grid->depth_m + kRecess_m : 0.0;
}

void addGrid(Builder& b, const Polygon& mouth) {
    addBand(b.black(), mouth, -mouthDepth_m(b.model), mouth, 0.0);
    Mesh& walls = b.black();
    for (const int axis : {0, 1}) addWalls(walls, mouth, axis, *b.model.grid);
}

// Seen from behind the lamp, looking along z with y up, the left is at +x. The leaves at the sides
// hang a little in front of the other two, so that shut ones do not lie in one plane.
void addDoors(Builder& b, glm::dvec2 mouth_m) {
    constexpr double kHinge_m = 0.0005;
    const auto& angle = *b.model.barnDoors_rad;
    const double length = 0.5 * std::min(mouth_m.x, mouth_m.y);
    const std::array<glm::dvec2, 4> up{glm::dvec2(0, 1), glm::dvec2(0, -1), glm::dvec2(1, 0),
                                       glm::dvec2(-1, 0)};
    Mesh& doors = b.black(true);
    for (std::size_t k = 0; k < 4; ++k) {
        const bool aside = k >= 2;
        const double width = aside ? mouth_m.y : mouth_m.x;
        const double hinge = 0.5 * (aside ? mouth_m.x : mouth_m.y);
        auto corner = leaf(width, length, hinge, aside ? 2.0 * kHinge_m : kHinge_m, angle[k]);
        for (glm::dvec3& p : corner)
            p = {p.y * up[k].x + p.x * up[k].y, p.y * up[k].y - p.x * up[k].x, p.z};
        addQuad(doors, corner);
    }
}

void addMouth(Builder& b, const Polygon& mouth, const Polygon& outer, const ExitFace& exit) {
    if (b.model.grid) addGrid(b, mouth);
    addBand(b.black(), mouth, 0.0, outer, -kRimDrop_m);
    b.body.exits.push_back(exit);
    const double height = exit.shape.kind == LampKind::disc ? static_cast<double>(exit.shape.a_m)
                                                            : static_cast<double>(exit.shape.b_m);
    if (b.model.barnDoors_rad) addDoors(b, {static_cast<double>(exit.shape.a_m), height});
}

}  // namespace keyfall::modifiers
