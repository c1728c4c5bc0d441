// What is sharp, along the camera's axis. Not here: the formulas (scene/photo.h); focus stacks
// (scene/focus_stack.h), what of a product is seen (renderer/meter/visible.h).
#pragma once

#include "scene/photo.h"
#include "scene/scene.h"

namespace keyfall {

/// Metres along the axis. `depth` counts from the lens.
struct Sharpness {
    DepthOfField depth;
    double before_m = 0.0;        ///< sharp in front of the focused plane
    double behind_m = 0.0;        ///< and behind it; infinite beyond the hyperfocal distance
    double fromSensor_m = 0.0;    ///< sensor plane to focused plane: s + f s/(s - f) (thin lens)
};
/// Of the camera as focused.
Sharpness sharpnessOf(const Scene& scene);

/// What of a depth, nearest to farthest, lies out of the sharp range. A depth of nothing, a flat face seen
/// square, may lie out of it as well.
struct SoftParts {
    double front_m = 0.0;   ///< nearer than it
    double back_m = 0.0;    ///< farther
    double before_m = 0.0;  ///< above 0: all of it lies so far before the sharp range
    double behind_m = 0.0;  ///< or behind it
    bool none() const { return front_m + back_m + before_m + behind_m <= 0.0; }
};
SoftParts softParts(const DepthOfField& sharp, double nearest_m, double farthest_m);

}  // namespace keyfall
