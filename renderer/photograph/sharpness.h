// What is sharp, along the camera's axis. Not here: the formulas (scene/photo.h); focus stacks.
#pragma once

#include <optional>

#include "scene/photo.h"
#include "scene/scene.h"

namespace keyfall {

/// Metres along the axis. `depth` counts from the lens.
struct Sharpness {
    DepthOfField depth;
    double before_m = 0.0;        ///< sharp in front of the focused plane
    double behind_m = 0.0;        ///< and behind it; infinite beyond the hyperfocal distance
    double fromSensor_m = 0.0;    ///< sensor plane to focused plane: s + f s/(s - f) (thin lens)
    struct Soft {
        double front_m = 0.0;     ///< of the products' depth, nearer than the sharp range
        double back_m = 0.0;      ///< farther than it
    };
    std::optional<Soft> product;  ///< empty: no product on the set
};

/// Of the camera as focused. The products' depth runs from the nearest to the farthest point of
/// their meshes, the side that the camera does not see included.
Sharpness sharpnessOf(const Scene& scene);

}  // namespace keyfall
