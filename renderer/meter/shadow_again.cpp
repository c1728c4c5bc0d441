#include "renderer/meter/shadow_again.h"

#include <algorithm>

#include "renderer/meter/shadow_cross.h"
#include "renderer/meter/shadow_find.h"
#include "renderer/meter/shadow_map.h"

namespace keyfall {
namespace {

const Item* casterNamed(const Scene& scene, const std::string& name) {
    for (std::size_t i = 0; i < scene.items.size(); ++i)
        if (casterRank(scene.items[i]) >= 0 && nameOfObject(scene, objectOfItem(scene, i)) == name)
            return &scene.items[i];
    return nullptr;
}

/// The line on the surface as it is now.
std::optional<GroundLine> laidAgain(const Stage& stage, const FoundLine& line) {
    const auto ground = groundUnder(stage, line.at_m, line.normal, 0.01F);
    if (!ground || nameOfObject(stage.scene(), ground->object) != line.receiver) return {};
    const glm::vec3 onSurface = line.along - glm::dot(line.along, ground->normal) * ground->normal;
    if (!(glm::length(onSurface) > 0.5F)) return {};
    const float half_m = std::max(line.to_m, -line.from_m) + 0.5F * static_cast<float>(line.throw_m);
    return GroundLine{*ground, glm::normalize(onSurface), half_m};
}

}  // namespace

FoundLine foundLine(const Scene& scene, const EdgePlace& p) {
    return {scene.lights[p.light].name,
            nameOfObject(scene, p.caster),
            nameOfObject(scene, p.receiver),
            p.at_m,
            p.normal,
            p.along,
            p.shadeEnd_m(),
            p.high_m + plateau_m(p),
            p.throw_m()};
}

std::vector<FoundLine> foundLines(const Stage& stage) {
    const Scene& scene = stage.scene();
    std::vector<FoundLine> lines;
    if (!scene.edges.empty()) return lines;
    for (std::size_t l = 0; l < scene.lights.size(); ++l) {
        if (!scene.lights[l].on) continue;
        if (const auto place = mainShadow(stage, l)) lines.push_back(foundLine(scene, *place));
    }
    return lines;
}

std::optional<EdgePlace> placeAgain(const Stage& stage, std::size_t light, const FoundLine& line) {
    const Scene& scene = stage.scene();
    const Item* caster = casterNamed(scene, line.caster);
    const auto laid = laidAgain(stage, line);
    if (caster == nullptr || !laid) return {};
    const LuminousFront front = luminousFront(stage, light, boundsOf(caster->mesh).middle());
    auto place = crossingOn(stage, light, front, *laid);
    if (!place || nameOfObject(scene, place->caster) != line.caster) return {};
    for (int turn = 0; turn < 2; ++turn)  // the caster's edge over the same length as where it was found
        if (!completePlace(stage, front, edgeStep_m(*place), *place)) return {};
    const bool across =
        place->crossing_rad() >= kShallowCrossing_rad && glm::dot(place->along, laid->along) > 0.0F;
    if (!across || !hasLitPlateau(stage, front, *place) || !limitShade(stage, front, *place)) return {};
    return place;
}

}  // namespace keyfall
