// Bowls, dishes and snoots: a profile turned about the axis, closed at the back, and a dish's
// plate. Not here: grids and doors (modifier_build_mouth.cpp).
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scene/modifier_build_parts.h"

namespace keyfall::modifiers {
namespace {


/// A plate that hides the lamp from the set, alike on both faces.
void addDeflector(Builder& b, double lampDepth_m, double mouthZ_m) {
    const DeflectorModel& plate = *b.model.deflector;
    const auto& profile = b.model.profile_m;
    const double mouth_m = profile.back().y;
    const double depth = lampDepth_m + plate.distance_m;
    if (plate.distance_m < axisReach_m(b.lamp) + kSpare_m)
        throw ModifierMisfit(fmt::format(
            "{} reaches the deflector of {} at {:.3g} cm; allowed: a lamp that ends {} mm before "
            "it",
            describe(b.lamp), b.model.name, kCmPerM * plate.distance_m, 1000.0 * kSpare_m));
    if (depth > mouth_m - kSpare_m ||
        0.5 * plate.diameter_m + kSpare_m > radiusAt_m(profile, depth))
        throw ModifierMisfit(
            fmt::format("the deflector of {} stands {:.3g} cm deep in front of {} and touches the "
                        "shell or leaves the "
                        "mouth; allowed: a plate that stays {} mm within",
                        b.model.name, kCmPerM * depth, describe(b.lamp), 1000.0 * kSpare_m));
    addCap(b.part(b.materials.at(plate.material)), roundOutline(0.5 * plate.diameter_m),
           mouthZ_m - mouth_m + depth);
}

}  // namespace

double radiusAt_m(const std::vector<glm::dvec2>& profile_m, double depth_m) {
    for (std::size_t i = 1; i < profile_m.size(); ++i) {
        const glm::dvec2 p = profile_m[i - 1], q = profile_m[i];
        if (depth_m <= q.y)
            return glm::mix(p.x, q.x, std::clamp((depth_m - p.y) / (q.y - p.y), 0.0, 1.0));
    }
    return profile_m.back().x;
}

// Where the profile widens it moves outward and back, from where it narrows outward alone: both
// keep it clear of the inside, and neither brings it in front of the exit.
std::vector<glm::dvec2> outsideOf(const std::vector<glm::dvec2>& profile) {
    std::vector<glm::dvec2> outside{{0.0, profile.front().y - kWall_m}};
    outside.emplace_back(profile.front().x + kWall_m, profile.front().y - kWall_m);
    bool widens = true;
    for (std::size_t i = 1; i < profile.size(); ++i) {
        const bool stillWidens = widens && profile[i].x >= profile[i - 1].x;
        if (widens && !stillWidens) outside.push_back(profile[i - 1] + glm::dvec2(kWall_m, 0.0));
        widens = stillWidens;
        outside.push_back(profile[i] + glm::dvec2(kWall_m, widens ? -kWall_m : 0.0));
    }
    const double end = profile.back().y - kRimDrop_m;
    while (outside.back().y >= end) outside.pop_back();
    outside.emplace_back(profile.back().x + kWall_m, end);
    return outside;
}

void addLathe(Mesh& mesh, const std::vector<glm::dvec2>& profile) {
    for (std::size_t i = 1; i < profile.size(); ++i)
        addBand(mesh, roundOutline(profile[i - 1].x), profile[i - 1].y, roundOutline(profile[i].x),
                profile[i].y);
}

void buildLathe(Builder& b) {
    const auto& profile = b.model.profile_m;
    const double mouth = profile.back().y, radius = profile.back().x,
                 mouthZ = -mouthDepth_m(b.model);
    const auto radiusAt = [&](double depth) { return radiusAt_m(profile, depth); };
    const double lamp = lampDepth_m(b, radiusAt, mouth);
    b.body.lampCentre_m = glm::dvec3(0.0, 0.0, mouthZ - mouth + lamp);
    std::vector<glm::dvec2> shell = profile;
    for (glm::dvec2& p : shell) p.y += mouthZ - mouth;
    addLathe(b.part(b.materials.at(b.model.inside)), shell);
    if (shell.front().x > 0.0) addCap(b.black(), roundOutline(shell.front().x), shell.front().y);
    if (b.model.deflector) addDeflector(b, lamp, mouthZ);
    if (mouthZ < 0.0) shell.emplace_back(radius, 0.0);
    const auto outside = outsideOf(shell);
    addLathe(b.black(), outside);
    ExitFace exit;
    exit.shape.kind = LampKind::disc;
    exit.shape.a_m = static_cast<float>(2.0 * cornerRadius_m(radius));
    exit.sides = kSides;
    addMouth(b, roundOutline(radius), roundOutline(outside.back().x), exit);
    b.body.hasGrid = b.model.grid.has_value();
    b.body.symmetry = isTurned(b.lamp) && !b.model.grid ? Symmetry::turned : Symmetry::quarter;
}

}  // namespace keyfall::modifiers
