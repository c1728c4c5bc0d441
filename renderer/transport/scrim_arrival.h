// A path that comes to a scrim which its last vertex may have sampled as a light: how much of the
// lamps' straight light on the scrim is this path's. Not here: that sampling (light_sampling.h).
#pragma once

#include <cstdint>
#include <optional>

#include "renderer/transport/last_vertex.h"

namespace keyfall {

class ScrimArrival {
  public:
    /// At a surface, before anything is drawn there. `distance_m`: from the last vertex.
    void arrive(const Stage& stage, const SurfacePoint& s, const LastVertex& last, glm::vec3 direction) {
        here_.reset();
        if (s.scrim == kNoScrim || !last.isShared()) return;
        here_.emplace(At{last, &stage, s.scrim, last.distanceTo_m(s.position_m), direction});
    }
    /// A direction was drawn there: what the ray meets next came straight to the scrim.
    void draw() { before_ = here_; }
    /// It has been turned since: what it meets now did not.
    void turn() { before_.reset(); }

    /// Factor on a lamp's straight light, sampled at the surface the path is at.
    float atVertex(std::uint32_t light) const { return here_ ? weight(*here_, light) : 1.0F; }
    /// The same for light met by the ray that was drawn at the last surface.
    float onRay(std::uint32_t light) const { return before_ ? weight(*before_, light) : 1.0F; }

  private:
    struct At {
        LastVertex last;
        const Stage* stage;
        int scrim;
        float distance_m;
        glm::vec3 direction;
    };
    static float weight(const At& at, std::uint32_t light) {
        const Stage& stage = *at.stage;
        const auto lamps = static_cast<std::uint32_t>(stage.emitters().size());
        const auto exits = static_cast<std::uint32_t>(stage.exits().size());
        const std::uint32_t source = lamps + exits + static_cast<std::uint32_t>(at.scrim) * lamps + light;
        return at.last.faceWeight(stage.scrims()[static_cast<std::size_t>(at.scrim)].shape, source, at.distance_m,
                                  at.direction, maximumWeight);
    }

    std::optional<At> here_;
    std::optional<At> before_;
};

}  // namespace keyfall
