// The exits of a modifier as planes that a photon crosses. Internal to the light trace.
// Not here: the photons (light_trace.cpp).
#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "renderer/transport/light_trace.h"

namespace keyfall {

class ExitPlanes {
  public:
    explicit ExitPlanes(const std::vector<ExitFace>& exits) : exits_(exits) {}

    struct Crossing {
        ExitCrossing at;
        float distance_m = std::numeric_limits<float>::infinity();
        float cosine = 1.0F;
    };

    /// The first exit that a ray crosses outward. A surface may lie in the face's own plane: a start
    /// within kTouch_m beyond it is still inside.
    std::optional<Crossing> first(glm::vec3 origin_m, glm::vec3 direction) const {
        std::optional<Crossing> nearest;
        for (std::size_t i = 0; i < exits_.size(); ++i) {
            const LampShape& s = exits_[i].shape;
            const float cosine = glm::dot(direction, s.frame.z);
            if (cosine <= 0.0F) continue;
            const glm::vec3 from = origin_m - s.centre_m;
            const float height = glm::dot(from, s.frame.z);
            if (height > kTouch_m) continue;
            const float t = std::max(0.0F, -height / cosine);
            if (nearest && t >= nearest->distance_m) continue;
            const glm::vec3 at = from + t * direction;
            const glm::vec2 local(glm::dot(at, s.frame.x), glm::dot(at, s.frame.y));
            if (!isOpen(exits_[i], local)) continue;
            nearest = Crossing{{i, local, s.frame.toLocal(direction)}, t, cosine};
        }
        return nearest;
    }

    /// Whether a surface at `hit_m` along the ray comes before the crossing, or in its plane.
    static bool isBefore(float hit_m, const Crossing& crossing) {
        return (hit_m - crossing.distance_m) * crossing.cosine <= kTouch_m;
    }

  private:
    static constexpr float kTouch_m = 50e-6F;  ///< over the offset of a ray's origin

    const std::vector<ExitFace>& exits_;
};

}  // namespace keyfall
