// Rays between a surface and a light's front. Not here: what the front is (luminous_front.cpp).
#include "renderer/meter/shadow_place.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace keyfall {
namespace {

/// Past a surface, for a ray that goes on behind it: more than rounding, less than a card's thickness.
constexpr float kPast_m = 2e-5F;
constexpr int kMostSurfaces = 64;

bool letsPass(const Scene& scene, const SurfacePoint& s) {
    return s.emitter == kNoEmitter && scene.items[s.item].kind == ItemKind::scrim;
}

/// The last place at which the way from `from_m` to `to_m` meets the object; it is known to meet it once.
glm::vec3 lastMeeting_m(const Stage& stage, glm::vec3 from_m, glm::vec3 to_m, std::uint32_t object,
                        glm::vec3 first_m) {
    const float way_m = glm::length(to_m - from_m);
    const glm::vec3 direction = (to_m - from_m) / way_m;
    float near_m = glm::length(first_m - from_m) + kPast_m;
    glm::vec3 last_m = first_m;
    for (int i = 0; i < kMostSurfaces && near_m < way_m; ++i) {
        const auto hit = stage.intersect(from_m, direction, near_m);
        if (!hit || hit->distance_m > way_m) break;
        const SurfacePoint s = stage.surfaceAt(*hit, from_m, direction);
        if (objectOfHit(stage.scene(), s) == object) last_m = s.position_m;
        near_m = hit->distance_m + kPast_m;
    }
    return last_m;
}

/// The place on the caster that draws the outline at a place just in the shade: the middle of the short way
/// through it.
std::optional<glm::vec3> casterAt_m(const Stage& stage, const EdgePlace& place, glm::vec3 shade_m,
                                    glm::vec3 front_m) {
    const glm::vec3 from_m = shade_m + kOffGround_m * place.normal;
    const Obstacle o = obstacleBefore(stage, from_m, front_m, place.light);
    if (o.object == kNoObject || (place.caster != kNoObject && o.object != place.caster)) return {};
    return 0.5F * (o.at_m + lastMeeting_m(stage, from_m, front_m, o.object, o.at_m));
}

/// Where the plane through a point of the front and the caster's edge meets the line, m from the place.
float throughEdge_m(const EdgePlace& p, glm::vec3 front_m) {
    const glm::vec3 plane = glm::cross(p.casterEdge, front_m - p.caster_m);
    return glm::dot(p.caster_m - p.at_m, plane) / glm::dot(p.along, plane);
}

glm::vec2 reachOf_m(const EdgePlace& place, const std::vector<glm::vec3>& outline_m) {
    glm::vec2 reach{std::numeric_limits<float>::infinity(), -std::numeric_limits<float>::infinity()};
    for (const glm::vec3& p : outline_m) {
        const float x = throughEdge_m(place, p);
        reach = {std::min(reach.x, x), std::max(reach.y, x)};
    }
    return reach;
}

/// The outline beside the place, `aside` metres along its present direction.
std::optional<glm::vec3> outlineBeside_m(const Stage& stage, const LuminousFront& front,
                                         const EdgePlace& place, glm::vec3 aside, float step_m) {
    for (const float reach : {1.0F, 3.0F, 9.0F}) {
        const glm::vec3 origin_m = place.at_m + aside * step_m;
        const auto x = outlineOn(stage, place.light, front, origin_m + kOffGround_m * place.normal,
                                 place.along, -reach * step_m, reach * step_m);
        if (x) return origin_m + *x * place.along;
    }
    return {};
}

}  // namespace

double EdgePlace::crossing_rad() const {
    const double cosine = std::abs(static_cast<double>(glm::dot(along, outline)));
    return std::acos(std::min(1.0, cosine));
}

double EdgePlace::widthFull_m() const {
    return static_cast<double>(high_m - low_m) * std::sin(crossing_rad());
}

float edgeStep_m(const EdgePlace& place) {
    return std::clamp(0.2F * (place.high_m - place.low_m), 0.0015F, 0.01F);
}

Obstacle obstacleBefore(const Stage& stage, glm::vec3 from_m, glm::vec3 front_m, std::size_t light) {
    const float way_m = glm::length(front_m - from_m);
    const glm::vec3 direction = (front_m - from_m) / way_m;
    float near_m = 0.0F;
    for (int i = 0; i < kMostSurfaces; ++i) {
        const auto hit = stage.intersect(from_m, direction, near_m);
        if (!hit || hit->distance_m > way_m - kOffGround_m) return {};
        const SurfacePoint s = stage.surfaceAt(*hit, from_m, direction);
        const std::uint32_t object = objectOfHit(stage.scene(), s);
        if (object == light) return {};
        if (!letsPass(stage.scene(), s)) return {object, s.position_m};
        near_m = hit->distance_m + kPast_m;
    }
    return {};
}

std::optional<Ground> groundUnder(const Stage& stage, glm::vec3 place_m, glm::vec3 normal, float reach_m) {
    const glm::vec3 from_m = place_m + reach_m * normal;
    const auto hit = stage.intersect(from_m, -normal);
    if (!hit || hit->distance_m > 2.0F * reach_m) return {};
    const SurfacePoint s = stage.surfaceAt(*hit, from_m, -normal);
    const glm::vec3 up = glm::dot(s.geometricNormal, normal) < 0.0F ? -s.geometricNormal : s.geometricNormal;
    return Ground{s.position_m, up, objectOfHit(stage.scene(), s)};
}

std::optional<float> outlineOn(const Stage& stage, std::size_t light, const LuminousFront& front,
                               glm::vec3 origin_m, glm::vec3 along, float from_m, float to_m) {
    const auto hidden = [&](float x) {
        return obstacleBefore(stage, origin_m + x * along, front.middle_m, light).object != kNoObject;
    };
    const bool first = hidden(from_m);
    if (hidden(to_m) == first) return {};
    for (int i = 0; i < 24; ++i) {
        const float middle = 0.5F * (from_m + to_m);
        (hidden(middle) == first ? from_m : to_m) = middle;
    }
    return 0.5F * (from_m + to_m);
}

bool completePlace(const Stage& stage, const LuminousFront& front, float step_m, EdgePlace& place) {
    const glm::vec3 aside = glm::normalize(glm::cross(place.normal, place.along));
    const auto left_m = outlineBeside_m(stage, front, place, -aside, step_m);
    const auto right_m = outlineBeside_m(stage, front, place, aside, step_m);
    if (!left_m || !right_m) return false;
    place.outline = glm::normalize(*right_m - *left_m);
    // Just in the shade, by a hundredth of the step: the way through the caster is short there.
    const glm::vec3 in = -0.01F * step_m * place.along;
    const auto here = casterAt_m(stage, place, place.at_m + in, front.middle_m);
    if (!here) return false;
    place.caster_m = *here;
    place.caster =
        obstacleBefore(stage, place.at_m + in + kOffGround_m * place.normal, front.middle_m, place.light)
            .object;
    const auto left = casterAt_m(stage, place, *left_m + in, front.middle_m);
    const auto right = casterAt_m(stage, place, *right_m + in, front.middle_m);
    if (!left || !right || !(glm::length(*right - *left) > 0.0F)) return false;
    place.casterEdge = glm::normalize(*right - *left);
    const glm::vec2 reach = reachOf_m(place, front.outline_m);
    place.low_m = reach.x, place.high_m = reach.y;
    if (!front.lamp_m.empty()) place.lamp_m = reachOf_m(place, front.lamp_m);
    return std::isfinite(place.high_m - place.low_m) && place.high_m > place.low_m;
}

}  // namespace keyfall
