// One [modifier.NAME] table as plain data. Not here: grids, doors and plates
// (library_modifier_parts.cpp), surfaces (modifier_build.h).
#include "scene/library_modifiers.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>

#include "scene/library_modifier_parts.h"
#include "scene/library_table.h"

namespace keyfall {
namespace {

constexpr double kMetrePerCm = 0.01;
constexpr double kTurn_rad = std::numbers::pi / 60.0;  // a curve's facet turns 3 degrees at most

using Keys = std::string_view;
constexpr std::array kBowlKeys{Keys("profile"), Keys("curve"),   Keys("mouth"), Keys("depth"),
                               Keys("inside"),  Keys("lamp_at"), Keys("grid"),  Keys("barn_doors")};
constexpr std::array kDishKeys{Keys("profile"),   Keys("curve"),  Keys("mouth"),
                               Keys("depth"),     Keys("inside"), Keys("lamp_at"),
                               Keys("deflector"), Keys("grid"),   Keys("barn_doors")};
constexpr std::array kBoxKeys{Keys("opening"), Keys("outline"),   Keys("depth"), Keys("inside"),
                              Keys("baffle"),  Keys("baffle_at"), Keys("front"), Keys("lamp_at"),
                              Keys("grid"),    Keys("barn_doors")};
constexpr std::array kUmbrellaKeys{Keys("profile"), Keys("curve"),   Keys("mouth"), Keys("depth"),
                                   Keys("inside"),  Keys("lamp_at"), Keys("use"),
                                   Keys("bowl")};

struct Row {
    const char* word;
    ModifierKind kind;
    std::span<const std::string_view> keys;
    const char* inside;
    double lampAt_cm;  ///< common practice, no source; a curve's and an umbrella's follow from the
                       ///< form
};
constexpr std::array kRows = {
    Row{"bowl", ModifierKind::bowl, kBowlKeys, "aluminium-satin", 1.0},
    Row{"box", ModifierKind::box, kBoxKeys, "silver-cloth", 4.0},
    Row{"dish", ModifierKind::dish, kDishKeys, "white-paint", 2.0},
    Row{"snoot", ModifierKind::snoot, kBowlKeys, "black", 1.0},
    Row{"umbrella", ModifierKind::umbrella, kUmbrellaKeys, "silver-cloth", 0.0},
};

const Row& rowOf(ModifierKind kind) {
    for (const Row& row : kRows)
        if (row.kind == kind) return row;
    return kRows.front();
}

const Row& rowOf(const DefinitionTable& t) {
    const std::string word = t.text("shape").value_or("");
    for (const Row& row : kRows)
        if (row.word == word) return row;
    t.fail("shape", "\"" + word + "\"; bowl, box, dish, snoot or umbrella is allowed");
}

// r^2 = R^2 d / D. Its angle to the axis has the tangent (2 D / R) s at r = R s, d = D s^2; points
// at equal steps of that angle.
std::vector<glm::dvec2> paraboloid(double mouth_m, double depth_m) {
    const double radius = 0.5 * mouth_m, steep = 2.0 * depth_m / radius, last = std::atan(steep);
    const int steps = static_cast<int>(std::ceil(last / kTurn_rad));
    std::vector<glm::dvec2> profile;
    for (int k = 0; k <= steps; ++k) {
        const double s = k == steps ? 1.0 : std::tan(last * k / steps) / steep;
        profile.emplace_back(radius * s, depth_m * s * s);
    }
    return profile;
}

std::vector<glm::dvec2> writtenProfile(const DefinitionTable& t) {
    constexpr std::size_t kMostPoints = 1000;  // each is a ring of some hundred triangles
    std::vector<glm::dvec2> profile;
    const auto& points = t.table.find("profile")->list;
    if (points.size() > kMostPoints)
        t.fail("profile", fmt::format("{} points; at most {} are allowed", points.size(), kMostPoints));
    for (const Value& point : points) {
        if (!point.isList() || point.list.size() != 2 || !point.list[0].isNumber() ||
            !point.list[1].isNumber())
            t.fail("profile", "pairs [radius, depth] in cm are allowed");
        profile.push_back(kMetrePerCm * glm::dvec2(point.list[0].number, point.list[1].number));
    }
    if (profile.size() < 2) t.fail("profile", "two points or more are needed");
    if (profile.front().y != 0.0)
        t.fail("profile", "begins at another depth; the first point has depth 0");
    for (std::size_t i = 1; i < profile.size(); ++i) {
        if (!(profile[i].y > profile[i - 1].y))
            t.fail("profile",
                   fmt::format("point {} is no deeper than the one before; depths grow from the "
                               "back to the mouth",
                               i + 1));
        if (!(profile[i].x > 0.0))
            t.fail("profile", fmt::format("point {} has radius 0; only the first may", i + 1));
    }
    if (profile.front().x < 0.0) t.fail("profile", "a radius is negative; from 0 is allowed");
    return profile;
}

std::vector<glm::dvec2> profileOf(const DefinitionTable& t) {
    if (t.table.find("profile")) {
        for (const char* key : {"curve", "mouth", "depth"})
            if (t.table.find(key))
                t.fail(key, "given beside profile; one of the two forms is allowed");
        return writtenProfile(t);
    }
    const auto curve = t.text("curve");
    if (!curve)
        t.fail("profile",
               "missing; points [radius, depth], or curve = \"paraboloid\" with mouth and depth");
    if (*curve != "paraboloid") t.fail("curve", "\"" + *curve + "\"; \"paraboloid\" is allowed");
    return paraboloid(lengthOf_m(t, "mouth"), lengthOf_m(t, "depth"));
}

/// A paraboloid's lamp stands in the focus, R^2 / 4D behind the apex. An umbrella's where its
/// canopy fills 60 degrees around the axis: common practice, no source.
double usualLampAt_m(const Row& row, const DefinitionTable& t, const ModifierModel& m) {
    if (row.kind == ModifierKind::box) return kMetrePerCm * row.lampAt_cm;
    const glm::dvec2 mouth = m.profile_m.back();
    if (row.kind == ModifierKind::umbrella)
        return mouth.y + mouth.x / std::tan(std::numbers::pi / 3.0);
    if (t.table.find("curve")) return mouth.x * mouth.x / (4.0 * mouth.y);
    return kMetrePerCm * row.lampAt_cm;
}

void readUmbrella(const DefinitionTable& t, ModifierModel& m) {
    const std::string use = t.text("use").value_or("reflect");
    if (use != "reflect" && use != "through")
        t.fail("use", "\"" + use + "\"; reflect or through is allowed");
    m.through = use == "through";
    m.headBowl = headBowlOf(t);
    if (m.profile_m.front().x > 0.0)
        t.fail("profile", "begins with a hole; a canopy's first point has radius 0");
    if (m.through && !t.table.find("inside"))
        t.fail("inside", "missing; light goes through a fabric, for example \"silk\"");
}

void checkLampAt(const DefinitionTable& t, const ModifierModel& m) {
    const bool box = m.kind == ModifierKind::box;
    const double end_m = box ? m.depth_m : m.profile_m.back().y;
    if (m.lampAt_m < 0.0) t.fail("lamp_at", "from 0 cm is allowed");
    if (m.kind == ModifierKind::umbrella || m.lampAt_m < end_m) return;
    t.fail("lamp_at", fmt::format("{:.4g} cm, and the mouth is {:.4g} cm deep; less is allowed",
                                  m.lampAt_m / kMetrePerCm, end_m / kMetrePerCm));
}

}  // namespace

ModifierModel modifierFrom(const std::string& name, const Value& table) {
    const DefinitionTable t{table, {}};
    const Row& row = rowOf(t);
    ModifierModel m;
    m.name = name;
    m.kind = row.kind;
    m.inside = t.text("inside").value_or(row.inside);
    if (m.kind == ModifierKind::box)
        readBox(t, m);
    else
        m.profile_m = profileOf(t);
    if (m.kind == ModifierKind::umbrella) readUmbrella(t, m);
    const auto lampAt_cm = t.number("lamp_at");
    m.lampAt_m = lampAt_cm ? kMetrePerCm * *lampAt_cm : usualLampAt_m(row, t, m);
    checkLampAt(t, m);
    if (m.kind == ModifierKind::dish) m.deflector = deflectorOf(t);
    if (m.kind != ModifierKind::umbrella) {
        m.grid = gridOf(t, m);
        m.barnDoors_rad = barnDoorsOf(t);
    }
    m.source = t.text("source").value_or("");
    return m;
}

const char* nameOf(ModifierKind kind) {
    return rowOf(kind).word;
}

std::span<const std::string_view> keysOfShape(ModifierKind kind) {
    return rowOf(kind).keys;
}

}  // namespace keyfall
