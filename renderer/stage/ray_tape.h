// A record of the Stage's queries, in order, so that the benchmark can ask the kernel the same
// again. Not here: the replay (tools/bench). Without a tape a query pays one predictable branch.
#pragma once

#include <cstdint>
#include <glm/glm.hpp>
#include <vector>

#include "renderer/stage/stage.h"

namespace keyfall {

/// One query as the kernel got it.
struct TapedRay {
    glm::vec3 origin_m{0.0F};
    glm::vec3 direction{0.0F};
    float near_m = 0.0F;
    float far_m = 0.0F;
    std::uint32_t ignoredEmitter = kNoEmitter;
    std::uint16_t mask = 0;
    bool shadow = false;  ///< occlusion; else the nearest hit
};

struct RayTape {
    std::vector<TapedRay> rays;

    void nearest(glm::vec3 origin_m, glm::vec3 direction, float near_m, float far_m, unsigned mask) {
        rays.push_back({origin_m, direction, near_m, far_m, kNoEmitter,
                        static_cast<std::uint16_t>(mask), false});
    }
    void shadow(glm::vec3 origin_m, glm::vec3 direction, float far_m, unsigned mask,
                std::uint32_t ignoredEmitter) {
        rays.push_back({origin_m, direction, 0.0F, far_m, ignoredEmitter,
                        static_cast<std::uint16_t>(mask), true});
    }
};

}  // namespace keyfall
