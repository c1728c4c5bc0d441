#include "renderer/photograph/sharpness.h"

#include <algorithm>

namespace keyfall {

Sharpness sharpnessOf(const Scene& scene) {
    const Camera& c = scene.camera;
    const double s = c.focusDistance_m;
    Sharpness sharp;
    sharp.depth = depthOfField(c.focalLength_m, c.aperture.exact, s, c.circleOfConfusion_m);
    sharp.before_m = s - sharp.depth.near_m;
    sharp.behind_m = sharp.depth.far_m - s;
    sharp.fromSensor_m = s + c.focalLength_m * s / (s - c.focalLength_m);
    return sharp;
}

SoftParts softParts(const DepthOfField& sharp, double nearest_m, double farthest_m) {
    const double all_m = farthest_m - nearest_m;
    return {std::clamp(sharp.near_m - nearest_m, 0.0, all_m), std::clamp(farthest_m - sharp.far_m, 0.0, all_m),
            std::max(0.0, sharp.near_m - farthest_m), std::max(0.0, nearest_m - sharp.far_m)};
}

}  // namespace keyfall
