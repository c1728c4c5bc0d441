#include "renderer/meter/shadow_lines.h"

#include <algorithm>
#include <cmath>

#include "renderer/meter/shadow_again.h"
#include "renderer/meter/shadow_beside.h"
#include "renderer/meter/shadow_cross.h"
#include "renderer/meter/shadow_find.h"
#include "renderer/meter/shadow_map.h"

namespace keyfall {
namespace {

bool isLit(const Light& light) { return light.on && light.fluxAsSet() > 0.0; }

/// Luminous exposure on the open line, as the light would bring it: how much each light's shadow is worth.
double worthOf(const Scene& scene, const EdgePlace& place, const LuminousFront& front) {
    const Light& l = scene.lights[place.light];
    const double share = l.kind == LightKind::flash ? 1.0 : scene.camera.shutter_s.exact;
    const glm::vec3 way_m = front.middle_m - place.at_m;
    const auto distance_m = static_cast<double>(glm::length(way_m));
    const auto cosine = static_cast<double>(std::max(0.0F, glm::dot(way_m, place.normal))) / distance_m;
    return l.fluxAsSet() * share * cosine / (distance_m * distance_m);
}

/// The light whose shadow's edge on the line takes most light away.
std::optional<EdgePlace> strongestOn(const Stage& stage, const GroundLine& line) {
    const Scene& scene = stage.scene();
    std::optional<EdgePlace> best;
    double most = 0.0;
    for (std::size_t l = 0; l < scene.lights.size(); ++l) {
        if (!isLit(scene.lights[l])) continue;
        const auto place = crossingOn(stage, l, line);
        if (!place) continue;
        const double worth = worthOf(scene, *place, luminousFront(stage, l, place->at_m));
        if (worth > most) best = place, most = worth;
    }
    return best;
}

void addGiven(const Stage& stage, const EdgeLine& edge, std::vector<LineToMeter>& lines,
              std::vector<EdgeWarning>& warnings) {
    const auto laid = layOnGround(stage, edge);
    if (!laid) {
        warnings.push_back({{"edge-not-found", "edge " + edge.name +
                                                   ": no surface within 1 cm of the line's middle; put `from` "
                                                   "and `to` on the surface that the shadow falls on"},
                            edge.name});
        return;
    }
    const auto place = strongestOn(stage, *laid);
    if (!place) {
        warnings.push_back(
            {{"edge-not-found", "edge " + edge.name +
                                    ": no shadow's outline crosses the line (of the lights that are on, as "
                                    "their middle sees it); move it, or make it longer"},
             edge.name});
        return;
    }
    // The line's ends, as the place's line counts.
    const float middle_m = glm::dot(laid->ground.at_m - place->at_m, place->along);
    lines.push_back({edge.name, *place, {}, middle_m - laid->half_m, middle_m + laid->half_m});
}

/// Is there anything to throw a shadow, and anything for it to fall on?
bool mayHaveShadows(const Scene& scene) {
    bool casts = false, receives = false;
    for (const Item& i : scene.items) {
        casts = casts || (casterRank(i) >= 0 && casterRank(i) <= 1);
        receives =
            receives || i.kind == ItemKind::table || i.kind == ItemKind::backdrop || i.kind == ItemKind::room;
    }
    return casts && receives;
}

const FoundLine* ofLight(const std::vector<FoundLine>& lines, const std::string& light) {
    const auto at =
        std::find_if(lines.begin(), lines.end(), [&](const FoundLine& l) { return l.light == light; });
    return at != lines.end() ? &*at : nullptr;
}

bool isSameLine(const FoundLine& a, const FoundLine& b) {
    constexpr float kSame_m = 1e-4F;
    return a.caster == b.caster && a.receiver == b.receiver && glm::length(a.at_m - b.at_m) < kSame_m;
}

/// Where another form of the set was measured, if it can be; else where this one is best. That one is measured
/// by way of its line, too: forms that are alike then give the same to the last bit.
std::optional<LineToMeter> lineFor(const Stage& stage, std::size_t light, const FoundLine* first) {
    const std::string name = foundEdgeName(stage.scene().lights[light].name);
    if (first != nullptr)
        if (const auto place = placeAgain(stage, light, *first)) return LineToMeter{name, *place, *first};
    const auto place = mainShadow(stage, light);
    if (!place) return {};
    LineToMeter line{name, *place, foundLine(stage.scene(), *place)};
    if (const auto again = placeAgain(stage, light, line.found)) line.place = *again;
    if (first != nullptr && !isSameLine(*first, line.found)) line.movedFrom = *first;
    return line;
}

void addFound(const Stage& stage, const std::vector<FoundLine>& first, std::vector<LineToMeter>& lines,
              std::vector<EdgeWarning>& warnings) {
    const Scene& scene = stage.scene();
    if (!mayHaveShadows(scene)) return;
    std::vector<std::size_t> lit;
    for (std::size_t l = 0; l < scene.lights.size(); ++l)
        if (isLit(scene.lights[l])) lit.push_back(l);
    for (const std::size_t l : lit) {
        if (auto line = lineFor(stage, l, ofLight(first, scene.lights[l].name))) {
            line->beside = penumbraeBeside(stage, line->place, lit);
            for (const glm::vec2& b : line->beside)
                line->from_m = std::min(line->from_m, b.x), line->to_m = std::max(line->to_m, b.y);
            lines.push_back(std::move(*line));
            continue;
        }
        warnings.push_back({{"edge-not-found",
                             "light " + scene.lights[l].name +
                                 ": no cast shadow on table, backdrop or room " +
                                 (scene.hasCamera ? "in the picture " : "") +
                                 "with a place where its whole edge can be measured; an [[edge]] says where"},
                            foundEdgeName(scene.lights[l].name)});
    }
}

}  // namespace

std::vector<LineToMeter> linesToMeter(const Stage& stage, const std::vector<FoundLine>& first,
                                      std::vector<EdgeWarning>& warnings) {
    std::vector<LineToMeter> lines;
    for (const EdgeLine& edge : stage.scene().edges) addGiven(stage, edge, lines, warnings);
    if (stage.scene().edges.empty()) addFound(stage, first, lines, warnings);
    return lines;
}

}  // namespace keyfall
