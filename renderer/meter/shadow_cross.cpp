#include "renderer/meter/shadow_cross.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace keyfall {
namespace {

constexpr float kNear_m = 0.01F;

/// The surface nearest to a place, looked for along the axes and from the line's own sides.
std::optional<Ground> nearestGround(const Stage& stage, glm::vec3 place_m, glm::vec3 line) {
    const Frame across = frameAround(line);
    std::array<glm::vec3, 10> ways{glm::vec3(0, 1, 0), {0, 0, 1}, {1, 0, 0}, {-1, 0, 0}, {0, 0, -1},
                                   {0, -1, 0},         across.x,  -across.x, across.y,   -across.y};
    std::optional<Ground> best;
    float least_m = 2.0F * kNear_m;
    for (const glm::vec3& normal : ways) {
        const auto g = groundUnder(stage, place_m, normal, kNear_m);
        // By the surface's own plane, so that a slanting look counts no farther than a straight one.
        const float off_m = g ? std::abs(glm::dot(place_m - g->at_m, g->normal)) : least_m;
        if (off_m < least_m - 1e-6F) best = g, least_m = off_m;
    }
    return best;
}

}  // namespace

std::optional<GroundLine> layOnGround(const Stage& stage, const EdgeLine& line) {
    const glm::vec3 way_m = line.to_m - line.from_m;
    const glm::vec3 middle_m = 0.5F * (line.from_m + line.to_m);
    const auto ground = nearestGround(stage, middle_m, glm::normalize(way_m));
    if (!ground) return {};
    GroundLine laid{*ground, {}, 0.5F * glm::length(way_m)};
    const glm::vec3 onSurface = way_m - glm::dot(way_m, ground->normal) * ground->normal;
    if (!(glm::length(onSurface) > 0.1F * laid.half_m)) return {};
    laid.along = glm::normalize(onSurface);
    laid.ground.at_m = middle_m - glm::dot(middle_m - ground->at_m, ground->normal) * ground->normal;
    return laid;
}

std::optional<EdgePlace> crossingOn(const Stage& stage, std::size_t light, const GroundLine& line) {
    return crossingOn(stage, light, luminousFront(stage, light, line.ground.at_m), line);
}

std::optional<EdgePlace> crossingOn(const Stage& stage, std::size_t light, const LuminousFront& front,
                                    const GroundLine& line) {
    constexpr int kSteps = 127;  // odd: scenes like to put an edge right into the middle
    const glm::vec3 origin_m = line.ground.at_m + kOffGround_m * line.ground.normal;
    std::optional<float> nearest;
    const float step_m = 2.0F * line.half_m / kSteps;
    for (int i = 0; i < kSteps; ++i) {
        const float from_m = -line.half_m + step_m * static_cast<float>(i);
        const auto x = outlineOn(stage, light, front, origin_m, line.along, from_m, from_m + step_m);
        if (x && (!nearest || std::abs(*x) < std::abs(*nearest))) nearest = x;
    }
    if (!nearest) return {};
    EdgePlace place;
    place.light = light, place.receiver = line.ground.object;
    place.normal = line.ground.normal, place.along = line.along;
    place.at_m = line.ground.at_m + *nearest * line.along;
    const glm::vec3 beyond_m = place.at_m + 0.5F * step_m * line.along + kOffGround_m * place.normal;
    if (obstacleBefore(stage, beyond_m, front.middle_m, light).object != kNoObject)
        place.along = -place.along;
    for (const float aside_m : {0.002F, 0.01F, 0.0005F})
        if (completePlace(stage, front, aside_m, place))
            return limitShade(stage, front, place) ? std::optional(place) : std::nullopt;
    return {};
}

}  // namespace keyfall
