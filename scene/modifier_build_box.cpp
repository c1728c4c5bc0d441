// Boxes: straight walls around an opening, with baffle and front as thin sheets.
// Not here: grids and doors (modifier_build_mouth.cpp).
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/modifier_build_parts.h"

namespace keyfall::modifiers {
namespace {

/// Distance of a point from the nearest side, negative outside.
double inside(const Polygon& polygon, glm::dvec2 p) {
    double nearest = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < polygon.size(); ++k) {
        const glm::dvec2 from = polygon[k],
                         side = glm::normalize(polygon[(k + 1) % polygon.size()] - from);
        nearest = std::min(nearest, side.x * (p.y - from.y) - side.y * (p.x - from.x));
    }
    return nearest;
}

/// Turned lamps by their circle, the others by the corners of their box.
bool fitsAcross(const LampShape& lamp, const Polygon& walls) {
    if (isTurned(lamp))
        return inside(walls, glm::dvec2(0.0)) >= reachAcross_m(lamp, 0.0) + kSpare_m;
    const glm::dvec2 half =
        0.5 * glm::dvec2(static_cast<double>(lamp.a_m), static_cast<double>(lamp.b_m));
    return std::min(inside(walls, half), inside(walls, {-half.x, half.y})) >= kSpare_m;
}

double lampDepthInBox_m(const Builder& b, const Polygon& walls) {
    const ModifierModel& m = b.model;
    if (!fitsAcross(b.lamp, walls))
        throw ModifierMisfit(
            fmt::format("{} is too large for the opening of {}, {:.4g} x {:.4g} cm; allowed: a "
                        "lamp that stays {} mm "
                        "clear of the walls",
                        describe(b.lamp), m.name, kCmPerM * m.opening_m.x, kCmPerM * m.opening_m.y,
                        1000.0 * kSpare_m));
    const auto wide = [](double) { return std::numeric_limits<double>::infinity(); };
    return lampDepth_m(b, wide, m.baffle.empty() ? m.depth_m - kRecess_m : m.baffleAt_m);
}

bool scattersAll(const Builder& b, const std::string& fabric) {
    return !fabric.empty() && b.fabrics.at(fabric).straight.isBlack();
}

}  // namespace

void buildBox(Builder& b) {
    const ModifierModel& m = b.model;
    const Polygon walls = boxOutline(m.opening_m, m.outline), outer = grown(walls, kWall_m);
    const double mouthZ = -mouthDepth_m(m), back = mouthZ - m.depth_m;
    b.body.lampCentre_m = glm::dvec3(0.0, 0.0, back + lampDepthInBox_m(b, walls));
    Mesh& lining = b.part(b.materials.at(m.inside));
    addCap(lining, walls, back);
    addBand(lining, walls, back, walls, mouthZ);
    if (!m.baffle.empty()) addCap(b.part(b.fabrics.at(m.baffle)), walls, back + m.baffleAt_m);
    if (!m.front.empty()) addCap(b.part(b.fabrics.at(m.front)), walls, mouthZ - kRecess_m);
    Mesh& outside = b.black();
    addCap(outside, outer, back - kWall_m);
    addBand(outside, outer, back - kWall_m, outer, -kRimDrop_m);
    const bool round = m.outline == Outline::round;
    ExitFace exit;
    exit.shape.kind = round ? LampKind::disc : LampKind::panel;
    exit.shape.a_m =
        static_cast<float>(round ? 2.0 * cornerRadius_m(0.5 * m.opening_m.x) : m.opening_m.x);
    exit.shape.b_m = round ? 0.0F : static_cast<float>(m.opening_m.y);
    exit.sides = round ? kSides : m.outline == Outline::octagon ? 8 : 4;
    addMouth(b, walls, outer, exit);
    b.body.hasGrid = m.grid.has_value();
    b.body.symmetry = round && isTurned(b.lamp) && !m.grid ? Symmetry::turned : Symmetry::quarter;
    b.body.hidesLamp = scattersAll(b, m.baffle) || scattersAll(b, m.front);
}

}  // namespace keyfall::modifiers
