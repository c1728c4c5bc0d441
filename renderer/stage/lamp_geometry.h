// Lamps as exact bodies inside Embree (user geometry). Not here: their sampling (optics/lamp.h).
#pragma once

#include <embree3/rtcore.h>

#include <vector>

#include "renderer/stage/stage.h"

namespace keyfall {

/// What a query carries through Embree to the lamps' callbacks.
struct QueryContext {
    RTCIntersectContext base;  // first: Embree hands back a pointer to it
    std::uint32_t ignoredEmitter = kNoEmitter;
};

/// Radius of a sphere around the lamp's centre that holds its body, with 1e-5 m of slack.
float boundingRadius_m(const LampShape& shape);

/// Adds all lamps as one geometry; returns its id. `emitters` must stay where it is.
std::uint32_t attachLamps(RTCDevice device, RTCScene scene, const std::vector<Emitter>& emitters,
                          unsigned mask);

}  // namespace keyfall
