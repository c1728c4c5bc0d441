// What a modifier has beside its shape, from its table: grid, doors, plate, a box's own keys.
// Not here: round profiles and defaults (library_modifiers.cpp).
#include "scene/library_modifier_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

namespace keyfall {
namespace {

constexpr double kMetrePerCm = 0.01;
constexpr double kMostCells = 1000.0;  // across a mouth: more than any fabric has threads
constexpr double kNearest_m = 0.001;   // a baffle to the back or the front
constexpr const char* kFront =
    "full";  // common practice, no source: a softbox comes with its front

std::optional<DefinitionTable> nested(const DefinitionTable& t, const char* key,
                                      const char* allowed) {
    const Value* value = t.table.find(key);
    if (!value) return {};
    if (!value->isTable()) t.fail(key, allowed);
    return DefinitionTable{*value, t.directory};
}

Outline outlineOf(const DefinitionTable& t) {
    const std::string word = t.text("outline").value_or("rectangle");
    if (word == "rectangle") return Outline::rectangle;
    if (word == "octagon") return Outline::octagon;
    if (word == "round") return Outline::round;
    t.fail("outline", "\"" + word + "\"; rectangle, octagon or round is allowed");
}

/// A fabric's name; "none" is none.
std::string fabricOf(const DefinitionTable& t, const char* key, const char* fallback) {
    const std::string name = t.text(key).value_or(fallback);
    return name == "none" ? std::string() : name;
}

}  // namespace

double lengthOf_m(const DefinitionTable& t, const char* key) {
    const auto cm = t.number(key);
    if (!cm) t.fail(key, "missing; a length in cm is needed");
    if (!(*cm > 0.0)) t.fail(key, "above 0 cm is allowed");
    return *cm * kMetrePerCm;
}

std::optional<GridModel> gridOf(const DefinitionTable& t, const ModifierModel& model) {
    const auto grid = nested(t, "grid", "{ cell, depth } in cm is allowed");
    if (!grid) return {};
    const GridModel g{lengthOf_m(*grid, "cell"), lengthOf_m(*grid, "depth")};
    const double mouth = model.profile_m.empty() ? std::max(model.opening_m.x, model.opening_m.y)
                                                 : 2.0 * model.profile_m.back().x;
    if (g.cell_m * kMostCells < mouth)
        grid->fail(
            "cell",
            fmt::format("{:.3g} cm; at least {:.3g} cm is allowed, a thousandth of the mouth",
                        g.cell_m / kMetrePerCm, mouth / kMostCells / kMetrePerCm));
    if (g.cell_m >= mouth)
        grid->fail("cell", fmt::format("{:.4g} cm; less than the mouth's {:.4g} cm is allowed: no wall "
                                       "of such a grid stands in it",
                                       g.cell_m / kMetrePerCm, mouth / kMetrePerCm));
    return g;
}

std::optional<DeflectorModel> deflectorOf(const DefinitionTable& t) {
    const auto plate = nested(t, "deflector", "{ diameter, distance, material } is allowed");
    if (!plate) return {};
    return DeflectorModel{lengthOf_m(*plate, "diameter"), lengthOf_m(*plate, "distance"),
                          plate->text("material").value_or("white-paint")};
}

std::optional<HeadBowlModel> headBowlOf(const DefinitionTable& t) {
    const auto bowl = nested(t, "bowl", "{ diameter, depth, material } is allowed");
    if (!bowl) return {};
    return HeadBowlModel{lengthOf_m(*bowl, "diameter"), lengthOf_m(*bowl, "depth"),
                         bowl->text("material").value_or("aluminium-satin")};
}

std::optional<std::array<double, 4>> barnDoorsOf(const DefinitionTable& t) {
    const auto angles = t.numbers("barn_doors");
    if (!angles) return {};
    if (angles->size() != 4)
        t.fail("barn_doors", fmt::format("{} angles; four are allowed: top, bottom, left, right",
                                         angles->size()));
    std::array<double, 4> rad{};
    for (std::size_t k = 0; k < 4; ++k) {
        const double degrees = (*angles)[k];
        if (!(degrees >= 0.0 && degrees <= 180.0))
            t.fail("barn_doors", "0 (shut) to 180 degrees is allowed");
        rad[k] = degrees * std::numbers::pi / 180.0;
    }
    return rad;
}

void readBox(const DefinitionTable& t, ModifierModel& m) {
    const auto opening = t.numbers("opening");
    if (!opening) t.fail("opening", "missing; [width, height] in cm is needed");
    if (opening->size() != 2 || !((*opening)[0] > 0.0) || !((*opening)[1] > 0.0))
        t.fail("opening", "[width, height] above 0 cm is allowed");
    m.opening_m = kMetrePerCm * glm::dvec2((*opening)[0], (*opening)[1]);
    m.outline = outlineOf(t);
    if (m.outline == Outline::round && (*opening)[0] != (*opening)[1])
        t.fail("opening",
               "two sizes; a round opening has its diameter twice, for example [60, 60]");
    m.depth_m = lengthOf_m(t, "depth");
    m.baffle = fabricOf(t, "baffle", "none");
    m.front = fabricOf(t, "front", kFront);
    if (m.baffle.empty()) {
        if (t.table.find("baffle_at"))
            t.fail("baffle_at", "given without a baffle; baffle = \"half\" is needed");
        return;
    }
    m.baffleAt_m = t.table.find("baffle_at") ? lengthOf_m(t, "baffle_at") : 0.5 * m.depth_m;
    if (m.baffleAt_m < kNearest_m || m.baffleAt_m > m.depth_m - kNearest_m)
        t.fail("baffle_at",
               fmt::format("{:.4g} cm; from 0.1 to {:.4g} cm is allowed, between back and front",
                           m.baffleAt_m / kMetrePerCm, (m.depth_m - kNearest_m) / kMetrePerCm));
}

}  // namespace keyfall
