// Formulas: the header. Not here: which depth is meant.
#include "scene/focus_stack.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace keyfall {
namespace {

constexpr std::size_t kMostFrames = 1000;
constexpr double kInfinity = std::numeric_limits<double>::infinity();

DepthOfField sharpAt(const BlurLens& lens, double focus_m) {
    if (std::isfinite(focus_m)) return depthOfField(lens.focalLength_m, lens.aperture, focus_m, lens.circleOfConfusion_m);
    // near = s(H - f)/(H + s - 2f) for s without end.
    return {hyperfocal_m(lens.focalLength_m, lens.aperture, lens.circleOfConfusion_m) - lens.focalLength_m, kInfinity};
}

/// near = s(H - f)/(H + s - 2f), solved for s.
double focusWithNear_m(const BlurLens& lens, double near_m) {
    const double h_m = hyperfocal_m(lens.focalLength_m, lens.aperture, lens.circleOfConfusion_m);
    const double rest_m = h_m - lens.focalLength_m - near_m;
    return rest_m > 0.0 ? near_m * (h_m - 2.0 * lens.focalLength_m) / rest_m : kInfinity;
}

/// Frame after frame from the nearest point until the farthest is sharp or `most` are taken.
struct Walk {
    std::vector<double> focus_m;
    double reached_m = 0.0;
};
Walk walk(const BlurLens& lens, const DepthRange& depth, double overlap, std::size_t most) {
    Walk w;
    double near_m = depth.nearest_m;
    do {
        w.focus_m.push_back(focusWithNear_m(lens, near_m));
        w.reached_m = sharpAt(lens, w.focus_m.back()).far_m;
        near_m = w.reached_m - overlap * (w.reached_m - near_m);
    } while (w.reached_m < depth.farthest_m && w.focus_m.size() < most);
    return w;
}

bool holdsAll(const BlurLens& lens, const DepthRange& depth) {
    const DepthOfField sharp = sharpAt(lens, middleFocus_m(depth));
    return sharp.near_m <= depth.nearest_m && sharp.far_m >= depth.farthest_m;
}

}  // namespace

BlurLens blurLensOf(const Camera& c) {
    return {c.focalLength_m, c.aperture.exact, c.pupilRatio, c.circleOfConfusion_m};
}

double defocusBlur_m(const BlurLens& lens, double focus_m, double depth_m) {
    const double pupil_m = lens.focalLength_m / lens.aperture;
    return pupil_m * magnification(lens.focalLength_m, focus_m) * std::abs(depth_m - focus_m) / depth_m;
}

double airyOnSensor_m(const BlurLens& lens, double focus_m) {
    const double m = magnification(lens.focalLength_m, focus_m);
    return airyDiameter_m(kDiffractionWavelength_m, effectiveAperture(lens.aperture, m, lens.pupilRatio));
}

double middleFocus_m(const DepthRange& depth) {
    return 2.0 * depth.nearest_m * depth.farthest_m / (depth.nearest_m + depth.farthest_m);
}

double totalBlur_m(const BlurLens& lens, const DepthRange& depth, double focus_m) {
    const double defocus_m = std::max(defocusBlur_m(lens, focus_m, depth.nearest_m), defocusBlur_m(lens, focus_m, depth.farthest_m));
    return std::hypot(defocus_m, airyOnSensor_m(lens, focus_m));
}

std::optional<LeastBlur> leastBlur(const BlurLens& lens, const DepthRange& depth, double focus_m) {
    BlurLens one = lens;
    one.aperture = 1.0;
    const double k_m = std::max(defocusBlur_m(one, focus_m, depth.nearest_m), defocusBlur_m(one, focus_m, depth.farthest_m));
    const double a_m = airyOnSensor_m(one, focus_m);
    if (!(k_m > 0.0)) return {};
    return LeastBlur{focus_m, std::sqrt(k_m / a_m), std::sqrt(2.0 * k_m * a_m)};
}

LeastBlur leastBlurWithin(const BlurLens& lens, const DepthRange& depth, double focus_m, glm::dvec2 apertures) {
    const auto least = leastBlur(lens, depth, focus_m);
    BlurLens at = lens;
    at.aperture = std::clamp(least ? least->aperture : apertures.x, apertures.x, apertures.y);
    return {focus_m, at.aperture, totalBlur_m(at, depth, focus_m)};
}

int stackFrames(double depth_m, double depthOfField_m, double overlap) {
    if (depth_m <= depthOfField_m) return 1;
    return static_cast<int>(std::ceil((depth_m - depthOfField_m) / ((1.0 - overlap) * depthOfField_m))) + 1;
}

std::optional<FocusStack> focusStack(const BlurLens& lens, const DepthRange& depth, double overlap) {
    if (!(depth.nearest_m > lens.focalLength_m)) return {};
    if (holdsAll(lens, depth)) return FocusStack{{middleFocus_m(depth)}, overlap};
    const Walk fewest = walk(lens, depth, overlap, kMostFrames);
    if (fewest.reached_m < depth.farthest_m) return {};
    const std::size_t frames = fewest.focus_m.size();
    // More overlap, less reach: the most with which so many frames still reach the end.
    double low = overlap;
    double high = 1.0;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        (walk(lens, depth, middle, frames).reached_m >= depth.farthest_m ? low : high) = middle;
    }
    return FocusStack{walk(lens, depth, low, frames).focus_m, low};
}

}  // namespace keyfall
