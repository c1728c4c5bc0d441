// What a path that goes on inside a modifier may still count of that modifier's own light.
// Not here: the table that counts the rest (face_light.h); who owns a path: DEVELOPERS.
#pragma once

#include <array>
#include <cstdint>

#include "renderer/stage/stage.h"

namespace keyfall {

/// A ray from a rough vertex that crosses an exit has been given the table's light. From there, as long
/// as it meets nothing but the modifier's own parts and its lamp, light of that lamp scattered in them
/// is the very light of the table: it counts only as far as the vertex was not rough. The first thing
/// that is no part of the modifier ends it: what comes by way of the set is in no table.
class MutedLight {
  public:
    /// A new ray starts.
    void depart() { crossed_ = 0; }

    /// The ray crosses an exit of `light` inward. `keep`: the share that the table has not given.
    void cross(std::uint32_t light, const Bands& keep) {
        if (crossed_ < exits_.size()) exits_[crossed_++] = {light, keep};
    }

    /// The ray ends at a surface.
    void arrive(const SurfacePoint& s) {
        for (std::size_t i = 0; i < crossed_; ++i)
            if (exits_[i].light == s.ownLight) {
                inside_ = exits_[i];
                scattered_ = false;
                return;
            }
        if (s.ownLight == kNoEmitter || s.ownLight != inside_.light) inside_.light = kNoEmitter;
    }

    /// The path leaves the surface in another direction.
    void scatter() { scattered_ = true; }

    /// Factor on light that the lamp sends straight to the vertex the path is at; nullptr: all of it.
    const Bands* atVertex(std::uint32_t light) const { return inside_.light == light ? &inside_.keep : nullptr; }
    /// Factor on the lamp itself, met by the ray: until it scatters, the table holds nothing of that.
    const Bands* onLamp(std::uint32_t light) const { return scattered_ ? atVertex(light) : nullptr; }

  private:
    struct Share {
        std::uint32_t light = kNoEmitter;
        Bands keep;
    };
    std::array<Share, 4> exits_;  // crossed by one ray: more would be modifiers standing in each other
    std::size_t crossed_ = 0;
    Share inside_;
    bool scattered_ = false;
};

}  // namespace keyfall
