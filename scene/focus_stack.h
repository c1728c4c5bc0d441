// Blur by defocus and by diffraction, the f-number between both, and focus stacks: pure functions of a
// thin lens. SI units; depths along the axis from the lens. Not here: depth of field (photo.h), what of
// a product is seen (renderer/meter/visible.h).
#pragma once

#include <optional>
#include <vector>

#include "scene/photo.h"

namespace keyfall {

/// What blur depends on. Numbers are taken as given.
struct BlurLens {
    double focalLength_m = 0.085;
    double aperture = 11.313708;
    double pupilRatio = 1.0;
    double circleOfConfusion_m = 0.00003;
};
BlurLens blurLensOf(const Camera& camera);

/// nearest <= farthest, both beyond the focal length.
struct DepthRange {
    double nearest_m = 0.0;
    double farthest_m = 0.0;
};

/// Diameter, on the sensor, of the disc that a point at `depth_m` becomes: similar triangles behind a thin
/// lens, c = (f/N) |v' - v| / v' = (f/N) m |d - s| / d with m = f/(s - f). At the limits of
/// depthOfField() it is the circle of confusion.
double defocusBlur_m(const BlurLens& lens, double focus_m, double depth_m);

/// Green light, where the eye is surest; the Airy disc of outside tables is that of 550 nm.
inline constexpr double kDiffractionWavelength_m = 550e-9;
/// Diameter of the Airy disc at N_eff = N (1 + m/p).
double airyOnSensor_m(const BlurLens& lens, double focus_m);

/// The focus from which both ends of the depth are equally blurred: 2Dd/(D + d), whatever the f-number.
double middleFocus_m(const DepthRange& depth);

/// At the worse end of the depth: root of the sum of the squares of the defocus disc's and the Airy disc's
/// diameter. That discs of different make add so is common practice, no source; second moments do add.
double totalBlur_m(const BlurLens& lens, const DepthRange& depth, double focus_m);

struct LeastBlur {
    double focus_m = 0.0;
    double aperture = 0.0;
    double blur_m = 0.0;  ///< at that f-number
};
/// The f-number at which totalBlur_m() is least. With defocus k/N and Airy a N, (k/N)^2 + (a N)^2 is least
/// at N = sqrt(k/a), where both are equal: sqrt(2 k a). Empty: all of the depth is in the plane of focus,
/// and the more open the sharper.
std::optional<LeastBlur> leastBlur(const BlurLens& lens, const DepthRange& depth, double focus_m);
/// The same of f-numbers from `apertures.x` to `apertures.y`: total blur falls up to its least and then rises,
/// so beyond that range it is an end of it.
LeastBlur leastBlurWithin(const BlurLens& lens, const DepthRange& depth, double focus_m, glm::dvec2 apertures);

inline constexpr double kStackOverlap = 0.2;

/// Frames of equal depth of field that overlap by `overlap` of it: ceil((depth - DoF)/((1 - overlap) DoF)) + 1.
int stackFrames(double depth_m, double depthOfField_m, double overlap = kStackOverlap);

struct FocusStack {
    std::vector<double> focus_m;   ///< of each frame, nearest first; infinity: focused on the horizon
    double overlap = kStackOverlap;  ///< of each frame's sharp range with the one before; at least as asked
};
/// The fewest frames whose sharp ranges cover the depth, the focus freely chosen, each with its own depth
/// of field; what is to spare goes into the overlap, evenly. One frame is focused by middleFocus_m().
/// Empty: something is nearer than the lens can focus (the focal length), or more than 1000 frames.
std::optional<FocusStack> focusStack(const BlurLens& lens, const DepthRange& depth, double overlap = kStackOverlap);

}  // namespace keyfall
