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

/// Radius of the head's bowl at a depth: straight from the head's front to the mouth, toward the apex.
double bowlRadius_m(const HeadBowlModel& bowl, double head, double depth) {
    const double share = std::clamp((head - depth) / bowl.depth_m, 0.0, 1.0);
    return kHeadRadius_m + share * (0.5 * bowl.diameter_m - kHeadRadius_m);
}

/// Throws ModifierMisfit where the head's bowl meets the lamp or the canopy.
void requireRoom(const Builder& b, double lamp, double head) {
    const HeadBowlModel& bowl = *b.model.headBowl;
    const double mouth = head - bowl.depth_m, along = axisReach_m(b.lamp), step = along / 16.0;
    const auto misfit = [&](const std::string& what) {
        throw ModifierMisfit(fmt::format("{}; allowed: a bowl around the lamp and clear of the canopy, or none", what));
    };
    for (int k = -16; k <= 16; ++k) {
        const double depth = lamp + k * step;
        if (depth > mouth && reachAcross_m(b.lamp, k * step) + kSpare_m > bowlRadius_m(bowl, head, depth))
            misfit(fmt::format("{} does not fit into the bowl of {}", describe(b.lamp), b.model.name));
    }
    const auto& profile = b.model.profile_m;
    for (const double depth : {mouth, head})
        if (depth < profile.back().y && radiusAt_m(profile, std::max(0.0, depth)) < bowlRadius_m(bowl, head, depth) + 2.0 * kWall_m)
            misfit(fmt::format("the bowl on the head of {} touches the canopy", b.model.name));
}

/// The bowl opens toward the apex; its outside is black, as a canopy's.
void addHeadBowl(Builder& b, double lamp, double head, const std::function<double(double)>& zOf) {
    requireRoom(b, lamp, head);
    const HeadBowlModel& bowl = *b.model.headBowl;
    std::vector<glm::dvec2> inside{{kHeadRadius_m, 0.0}, {0.5 * bowl.diameter_m, bowl.depth_m}};  // from the head
    auto outside = outsideOf(inside);
    for (auto* shell : {&inside, &outside})
        for (glm::dvec2& p : *shell) p.y = zOf(head - p.y);
    addLathe(b.part(b.materials.at(bowl.material)), inside);
    Mesh& back = b.black();
    addLathe(back, outside);
    addBand(back, roundOutline(outside.back().x), outside.back().y, roundOutline(inside.back().x), inside.back().y);
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
    if (b.model.headBowl) addHeadBowl(b, lamp, head, zOf);
    addExits(b.body, b.lamp);
    b.body.symmetry = Symmetry::quarter;
}

}  // namespace keyfall::modifiers
