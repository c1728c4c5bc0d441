// Which apertures, times and speeds `[limits]` leave to choose from. Not here: reading the section
// (read_limits.cpp), which of them expose well (renderer/meter/settings.h).
#pragma once

#include <vector>

#include "scene/scene.h"

namespace keyfall {

/// Values that may be used: third stops within the limits, and the value as set if it lies within them; in
/// no order. Without limits: f/2.8 to f/22, 1/4000 s to 8 s (with flash the sync time, if that is longer),
/// base ISO to ISO 6400, and as far as what is set. Empty where limits lie between two third stops, of times also where no flash passes: the reader
/// of scene files refuses both.
struct LimitSteps {
    std::vector<Engraved> aperture, shutter_s, iso;
};
/// `flash`: one is on, and no time is shorter than the camera's flashSync_s.
LimitSteps stepsWithin(const Limits& limits, const Camera& camera, bool flash);

}  // namespace keyfall
