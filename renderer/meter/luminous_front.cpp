// What lights across a shadow's edge, as an outline in space. Not here: the rays to it (shadow_place.cpp).
#include <algorithm>
#include <cmath>
#include <numbers>

#include "renderer/meter/shadow_place.h"

namespace keyfall {
namespace {

constexpr int kAround = 24;

using Points = std::vector<glm::vec3>;

void addCircle(Points& points, glm::vec3 middle_m, const Frame& frame, float radius_m,
               int corners = kAround) {
    for (int i = 0; i < corners; ++i) {
        const float turn =
            2.0F * std::numbers::pi_v<float> * static_cast<float>(i) / static_cast<float>(corners);
        points.push_back(middle_m + radius_m * (std::cos(turn) * frame.x + std::sin(turn) * frame.y));
    }
}

void addRectangle(Points& points, glm::vec3 middle_m, const Frame& frame, float width_m, float height_m) {
    for (const float x : {-0.5F, 0.5F})
        for (const float y : {-0.5F, 0.5F})
            points.push_back(middle_m + x * width_m * frame.x + y * height_m * frame.y);
}

/// The outline of a lamp's body as seen from afar.
Points outlineOf(const LampShape& lamp, glm::vec3 seenFrom_m) {
    Points points;
    const Frame facing = frameAround(glm::normalize(seenFrom_m - lamp.centre_m));
    const Frame across{lamp.frame.y, lamp.frame.z, lamp.frame.x};  // around a tube's axis
    switch (lamp.kind) {
        case LampKind::sphere: addCircle(points, lamp.centre_m, facing, 0.5F * lamp.a_m); break;
        case LampKind::disc: addCircle(points, lamp.centre_m, lamp.frame, 0.5F * lamp.a_m); break;
        case LampKind::panel: addRectangle(points, lamp.centre_m, lamp.frame, lamp.a_m, lamp.b_m); break;
        case LampKind::tube:
            for (const float end : {-0.5F, 0.5F})
                addCircle(points, lamp.centre_m + end * lamp.a_m * lamp.frame.x, across, 0.5F * lamp.b_m);
            break;
        case LampKind::ring: {
            Points line;
            addCircle(line, lamp.centre_m, lamp.frame, 0.5F * lamp.a_m);
            for (const glm::vec3& at_m : line) addCircle(points, at_m, facing, 0.5F * lamp.b_m, 8);
            break;
        }
    }
    return points;
}

/// Of an exit that is a polygon within its disc or panel, the polygon (modifier_body.h).
Points outlineOf(const ExitFace& exit) {
    const LampShape& s = exit.shape;
    if (exit.sides == 0 || (s.kind == LampKind::panel && exit.sides == 4))
        return outlineOf(s, s.centre_m + s.frame.z);
    Points points;
    if (s.kind == LampKind::disc) {
        addCircle(points, s.centre_m, s.frame, 0.5F * s.a_m, exit.sides);
        return points;
    }
    // Its flats touch the panel's sides: half a turn of a flat away from the axes lie the corners.
    const float half = std::numbers::pi_v<float> / static_cast<float>(exit.sides);
    for (int i = 0; i < exit.sides; ++i) {
        const float turn = half * static_cast<float>(2 * i + 1);
        points.push_back(s.centre_m +
                         0.5F / std::cos(half) *
                             (std::cos(turn) * s.a_m * s.frame.x + std::sin(turn) * s.b_m * s.frame.y));
    }
    return points;
}

glm::vec3 toWorld(const Light& light, glm::vec3 inBody_m) {
    return light.exit_m + light.axes.toWorld(inBody_m);
}

/// The exits through which the light is sent where it is aimed; a form that is open on every side has more.
Points exitOf(const Light& light) {
    Points points;
    for (const bool forward : {true, false}) {
        for (const ExitFace& exit : light.body->exits)
            if (!forward || exit.shape.frame.z.z > 0.5F)
                for (const glm::vec3& p : outlineOf(exit)) points.push_back(toWorld(light, p));
        if (!points.empty()) break;
    }
    return points;
}

/// The scrim that the light comes through, with the place where its axis meets it.
std::optional<LuminousFront> scrimFront(const Stage& stage, glm::vec3 exit_m, glm::vec3 subject_m) {
    for (const Scrim& scrim : stage.scrims()) {
        if (!scrim.isBetween(exit_m, subject_m)) continue;
        const LampShape& s = scrim.shape;
        const float from = glm::dot(exit_m - s.centre_m, s.frame.z);
        const float to = glm::dot(subject_m - s.centre_m, s.frame.z);
        return LuminousFront{
            exit_m + (subject_m - exit_m) * (from / (from - to)), outlineOf(s, subject_m), {}};
    }
    return {};
}

}  // namespace

LuminousFront luminousFront(const Stage& stage, std::size_t light, glm::vec3 subject_m) {
    const Light& l = stage.scene().lights[light];
    if (const auto scrim = scrimFront(stage, l.exit_m, subject_m)) return *scrim;
    const Points lamp = outlineOf(l.shape, subject_m);
    const Points exit = l.body != nullptr ? exitOf(l) : Points{};
    if (exit.empty()) return {l.shape.centre_m, lamp, {}};
    return {l.exit_m, exit, l.body->hidesLamp ? Points{} : lamp};
}

}  // namespace keyfall
