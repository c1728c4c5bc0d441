// Umbrellas: a canopy that reflects or lets light through, a plate for the head behind the lamp,
// and exits all around. Not here: shells that close around their lamp.
#include <fmt/format.h>

#include <algorithm>

#include "scene/modifier_build_parts.h"

namespace keyfall::modifiers {
namespace {

constexpr double kHeadRadius_m = 0.06;  // common practice, no source: a monolight's front
constexpr double kHeadBehind_m = 0.015;
constexpr double kAround_m = 0.005;  ///< from the outermost surface to the exits

const Material& canopyMaterial(const Builder& b, bool& thin) {
    const auto fabric = b.fabrics.find(b.model.inside);
    thin = b.model.through || (fabric != b.fabrics.end() && !b.materials.contains(b.model.inside));
    return thin ? b.fabrics.at(b.model.inside) : b.materials.at(b.model.inside);
}

/// A closed box of six panels, z outward; the sides' y is the modifier's z.
void addExits(ModifierBody& body, const LampShape& lamp) {
    Box3 box;
    const glm::vec3 reach(glm::dvec3(glm::dvec2(reachAcross_m(lamp, 0.0)), axisReach_m(lamp)));
    box.add(body.lampCentre_m - reach);
    box.add(body.lampCentre_m + reach);
    for (const ModifierPart& part : body.parts)
        for (const glm::vec3& p : part.mesh.position_m) box.add(p);
    box.low -= static_cast<float>(kAround_m);
    box.high += static_cast<float>(kAround_m);
    const glm::vec3 x(1, 0, 0), y(0, 1, 0), z(0, 0, 1);
    for (const Frame& frame : {Frame{x, y, z}, Frame{x, -y, -z}, Frame{y, z, x}, Frame{-y, z, -x},
                               Frame{-x, z, y}, Frame{x, z, -y}}) {
        ExitFace exit;
        exit.shape.kind = LampKind::panel;
        exit.shape.frame = frame;
        exit.shape.centre_m =
            box.middle() + 0.5F * glm::abs(glm::dot(frame.z, box.size())) * frame.z;
        exit.shape.a_m = std::abs(glm::dot(frame.x, box.size()));
        exit.shape.b_m = std::abs(glm::dot(frame.y, box.size()));
        exit.sides = 4;
        body.exits.push_back(exit);
    }
}

/// Depth of the lamp's centre. In front of the rim there is room on all sides.
double lampDepth(const Builder& b) {
    const auto& profile = b.model.profile_m;
    const auto free = [&](double depth) {
        return depth <= profile.back().y ? radiusAt_m(profile, depth) : 1e30;
    };
    return lampDepth_m(b, free, b.model.lampAt_m + 2.0 * axisReach_m(b.lamp) + profile.back().y);
}

}  // namespace

void buildUmbrella(Builder& b) {
    const auto& profile = b.model.profile_m;
    const double rim = profile.back().y;
    // From depths behind the apex to z: a canopy that reflects opens towards z, the other towards
    // -z.
    const double side = b.model.through ? -1.0 : 1.0;
    const auto zOf = [&](double depth) { return side * (depth - rim); };
    const double lamp = lampDepth(b), head = lamp + axisReach_m(b.lamp) + kHeadBehind_m;
    if (head < rim && radiusAt_m(profile, head) < kHeadRadius_m + kSpare_m)
        throw ModifierMisfit(
            fmt::format("the head behind {} touches the canopy of {}; allowed: lamp_at at "
                        "least where the canopy is 12.2 cm wide",
                        describe(b.lamp), b.model.name));
    b.body.lampCentre_m = glm::dvec3(0.0, 0.0, zOf(lamp));
    b.body.lampFacesBack = !b.model.through;
    std::vector<glm::dvec2> canopy = profile;
    for (glm::dvec2& p : canopy) p.y = zOf(p.y);
    bool thin = false;
    const Material& inside = canopyMaterial(b, thin);
    addLathe(b.part(inside), canopy);
    if (!thin) {
        const auto outside = outsideOf(canopy);
        Mesh& back = b.black();
        addLathe(back, outside);
        addBand(back, roundOutline(outside.back().x), outside.back().y,
                roundOutline(canopy.back().x), 0.0);
    }
    addCap(b.black(), roundOutline(kHeadRadius_m), zOf(head));
    addExits(b.body, b.lamp);
    b.body.symmetry = Symmetry::quarter;
}

}  // namespace keyfall::modifiers
