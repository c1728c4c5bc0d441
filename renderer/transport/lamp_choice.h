// Which lamp a later vertex of a path samples. Not here: where on the lamp (lamp.h).
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <glm/glm.hpp>
#include <vector>

#include "renderer/stage/stage.h"

namespace keyfall {

struct LampChoice {
    std::uint32_t lamp = 0;
    float probability = 1.0F;
};

/// Lamps drawn by what they would send unshaded at equal flux, cos/d^2, from a point with this
/// normal (0: light may come from both sides). A tenth of the draws is spread evenly, so that no
/// lamp is starved. No table is kept: the same figures come out again wherever they are asked for.
class LampChooser {
  public:
    LampChooser(const std::vector<Emitter>& emitters, glm::vec3 from_m, glm::vec3 normal)
        : emitters_(emitters), from_m_(from_m), normal_(normal) {
        for (const Emitter& e : emitters) sum_ += estimate(e);
    }

    float probability(std::uint32_t lamp) const {
        return 0.9F * estimate(emitters_[lamp]) / sum_ + 0.1F / static_cast<float>(emitters_.size());
    }

    LampChoice draw(float u) const {
        const auto last = static_cast<std::uint32_t>(emitters_.size() - 1);
        for (std::uint32_t l = 0; l < last; ++l) {
            const float p = probability(l);
            if (u < p) return {l, p};
            u -= p;
        }
        return {last, probability(last)};
    }

  private:
    /// The floors keep a lamp beside the horizon, or one that is touched, a number: 84 degrees, 1 mm.
    float estimate(const Emitter& e) const {
        const glm::vec3 to = e.centre_m - from_m_;
        const float d2 = std::max(glm::dot(to, to), 1e-6F);
        return std::max(0.1F, glm::dot(normal_, to) / std::sqrt(d2)) / d2;
    }

    const std::vector<Emitter>& emitters_;
    glm::vec3 from_m_;
    glm::vec3 normal_;
    float sum_ = 0.0F;
};

}  // namespace keyfall
