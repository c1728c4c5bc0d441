#include "renderer/photograph/sharpness.h"

#include <algorithm>
#include <limits>

namespace keyfall {
namespace {

struct Range {
    double from_m = std::numeric_limits<double>::infinity();
    double to_m = -std::numeric_limits<double>::infinity();
};

Range productDepth(const Scene& scene) {
    Range range;
    for (const Item& item : scene.items) {
        if (item.kind != ItemKind::product) continue;
        for (const glm::vec3& p : item.mesh.position_m) {
            const auto depth_m = static_cast<double>(glm::dot(p - scene.camera.lens_m, scene.camera.frame.z));
            range.from_m = std::min(range.from_m, depth_m);
            range.to_m = std::max(range.to_m, depth_m);
        }
    }
    return range;
}

}  // namespace

Sharpness sharpnessOf(const Scene& scene) {
    const Camera& c = scene.camera;
    const double s = c.focusDistance_m;
    Sharpness sharp;
    sharp.depth = depthOfField(c.focalLength_m, c.aperture.exact, s, c.circleOfConfusion_m);
    sharp.before_m = s - sharp.depth.near_m;
    sharp.behind_m = sharp.depth.far_m - s;
    sharp.fromSensor_m = s + c.focalLength_m * s / (s - c.focalLength_m);
    const Range product = productDepth(scene);
    if (product.to_m < product.from_m) return sharp;
    const double all_m = product.to_m - product.from_m;
    sharp.product = {std::clamp(sharp.depth.near_m - product.from_m, 0.0, all_m),
                     std::clamp(product.to_m - sharp.depth.far_m, 0.0, all_m)};
    return sharp;
}

}  // namespace keyfall
