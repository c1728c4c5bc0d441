#include "renderer/meter/shadow_beside.h"

#include <algorithm>

#include "renderer/meter/shadow_cross.h"

namespace keyfall {
namespace {

/// How far the shadow goes from its outline to where the front's middle comes out again, at most `most_m`.
float shadowLength_m(const Stage& stage, const EdgePlace& p, float most_m) {
    constexpr int kSteps = 128;
    const glm::vec3 middle_m = luminousFront(stage, p.light, p.caster_m).middle_m;
    const float step_m = most_m / kSteps;
    for (int i = 1; i <= kSteps; ++i) {
        const glm::vec3 at_m = p.at_m - step_m * static_cast<float>(i) * p.along + kOffGround_m * p.normal;
        if (obstacleBefore(stage, at_m, middle_m, p.light).object == kNoObject)
            return step_m * static_cast<float>(i - 1);
    }
    return most_m;
}

}  // namespace

std::vector<glm::vec2> penumbraeBeside(const Stage& stage, const EdgePlace& place,
                                       const std::vector<std::size_t>& lights) {
    const auto reach_m = static_cast<float>(place.throw_m());
    const GroundLine line{{place.at_m, place.normal, place.receiver}, place.along, reach_m};
    const float otherOutline_m = place.high_m - place.low_m + plateau_m(place);
    const float in_m = otherOutline_m - shadowLength_m(stage, place, reach_m + otherOutline_m);
    std::vector<glm::vec2> beside;
    for (const std::size_t light : lights) {
        if (light == place.light) continue;
        const auto other = crossingOn(stage, light, line);
        if (!other) continue;
        const float at_m = glm::dot(other->at_m - place.at_m, place.along);
        const float way = glm::dot(other->along, place.along);
        const float a_m = at_m + way * other->shadeEnd_m();
        const float b_m = at_m + way * (other->high_m + plateau_m(*other));
        if (at_m < in_m) continue;
        beside.emplace_back(std::max(std::min(a_m, b_m), in_m), std::max(a_m, b_m));
    }
    return beside;
}

}  // namespace keyfall
