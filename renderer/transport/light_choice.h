// Which light a later vertex of a path samples: a lamp, a modifier's exit or a scrim.
// Not here: where on it (optics/lamp.h, optics/face_draw.h).
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <glm/glm.hpp>
#include <vector>

#include "renderer/stage/stage.h"

namespace keyfall {

struct LightChoice {
    std::uint32_t source = 0;  ///< index into Stage::sources
    float probability = 1.0F;
};

/// Lights drawn by what they would send unshaded (but for scrims) at equal flux, share * cos/d^2, from a point with this
/// normal (0: light may come from both sides). A tenth of the draws is spread evenly, so that no light
/// is starved. No table is kept: the same figures come out again wherever they are asked for.
class LightChooser {
  public:
    /// `ownLight`: the light whose modifier the point is a part of; kNoEmitter: none.
    LightChooser(const Stage& stage, glm::vec3 from_m, glm::vec3 normal, std::uint32_t ownLight)
        : sources_(stage.sources()), scrims_(stage.scrims()), from_m_(from_m), normal_(normal), ownLight_(ownLight) {
        for (const LightSource& s : sources_) sum_ += estimate(s);
    }

    float probability(std::uint32_t source) const {
        const float even = 1.0F / static_cast<float>(sources_.size());
        return sum_ > 0.0F ? 0.9F * estimate(sources_[source]) / sum_ + 0.1F * even : even;
    }

    LightChoice draw(float u) const {
        const auto last = static_cast<std::uint32_t>(sources_.size() - 1);
        for (std::uint32_t i = 0; i < last; ++i) {
            const float p = probability(i);
            if (u < p) return {i, p};
            u -= p;
        }
        return {last, probability(last)};
    }

  private:
    /// The floors keep a light beside the horizon, or one that is touched, a number: 84 degrees, 1 mm.
    float estimate(const LightSource& s) const {
        if (s.onlyInside && s.light != ownLight_) return 0.0F;
        const glm::vec3 to = s.centre_m - from_m_;
        const float d2 = std::max(glm::dot(to, to), 1e-6F);
        const float distance_m = std::sqrt(d2);
        return s.share * sent(s, to / distance_m) * throughScrims(s) * std::max(0.1F, glm::dot(normal_, to) / distance_m) / d2;
    }

    /// Intensity against that of an even source of equal flux: 4 cos for a flat one, by Lambert's law
    /// (flux/pi against flux/(4 pi)), half of it to each side of one with two.
    static float sent(const LightSource& s, glm::vec3 toLight) {
        if (s.axis == glm::vec3(0.0F)) return 1.0F;
        const float cosine = -glm::dot(s.axis, toLight);
        return std::max(0.1F, s.bothSides ? 2.0F * std::abs(cosine) : 4.0F * cosine);
    }

    /// What scrims between here and a lamp or a modifier leave of it; what they scatter has a chance of
    /// its own.
    float throughScrims(const LightSource& s) const {
        float left = 1.0F;
        if (s.bothSides) return left;  // a scrim itself
        for (const Scrim& scrim : scrims_)
            if (scrim.isBetween(from_m_, s.centre_m)) left *= scrim.straight;
        return left;
    }

    const std::vector<LightSource>& sources_;
    const std::vector<Scrim>& scrims_;
    glm::vec3 from_m_;
    glm::vec3 normal_;
    std::uint32_t ownLight_;
    float sum_ = 0.0F;
};

}  // namespace keyfall
