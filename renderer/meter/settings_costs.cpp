#include "renderer/meter/settings_costs.h"

#include <algorithm>
#include <cmath>

#include "renderer/photograph/exposure.h"
#include "scene/motion.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

constexpr double kGreen_m = 550e-9;        // where the eye is most sensitive
constexpr double kGrey = 0.18;
constexpr double kUsualFlash_s = 1.0 / 1000.0;
constexpr double kOverlap = 0.2;           // of a stack's frames (README, "Numbers")
constexpr int kMostFrames = 999;

double magnificationOf(const Camera& c) { return magnification(c.focalLength_m, c.focusDistance_m); }

/// Mean duration of the light, weighted by how much of it comes with each: a flash takes its own time,
/// continuous light the shutter's.
double lightTime_s(const SettingsInput& input, const Setting& s) {
    double time = 0.0;
    double all = 0.0;
    for (std::size_t l = 0; l < input.lights.size(); ++l) {
        const SettingsLight& light = input.lights[l];
        const bool flash = light.kind == LightKind::flash;
        const double takes_s = flash ? flashDuration_s(light, s.power_stops[l]) : s.shutter_s.exact;
        const double exposure =
            light.atFull.mean() * std::exp2(s.power_stops[l]) * (flash ? 1.0 : s.shutter_s.exact);
        time += exposure * takes_s;
        all += exposure;
    }
    return all > 0.0 ? time / all : s.shutter_s.exact;
}

std::optional<double> ambient_stops(const SettingsInput& input, const Setting& s) {
    const LightAtProbe light(input);
    const double flash = light.flash(s.power_stops);
    const double continuous = light.continuous(s.power_stops) * s.shutter_s.exact;
    if (!(flash > 0.0) || !(continuous > 0.0)) return {};
    return std::log2(continuous / flash);
}

}  // namespace

double snrOfGrey_dB(const SensorModel& sensor, double iso) {
    const double electrons = kGrey / kRawClip * sensor.fullWell_e * sensor.baseIso / iso;
    const double noise = std::sqrt(electrons + sensor.readNoise_e * sensor.readNoise_e);
    return 20.0 * std::log10(electrons / noise);
}

double handheldLimit_s(const Camera& camera) {
    return handheldLimit_s(camera.focalLength_m, camera.sensor_m);
}

double flashDuration_s(const SettingsLight& light, double power_stops) {
    return flashDurationAt_s(light.t05_s.value_or(kUsualFlash_s), light.t05Lowest_s, light.lowest_stops, power_stops);
}

// Similar triangles: the cone from a pupil f/N wide that is sharp at s has the width (f/N)|d - s|/d in
// the plane of focus, and m times that on the sensor.
double defocusBlur_m(const Camera& c, double aperture, double distance_m) {
    return c.focalLength_m / aperture * magnificationOf(c) * std::abs(distance_m - c.focusDistance_m) / distance_m;
}

// near = s(H-f)/(H+s-2f) turned round: s = near(H-2f)/(H-f-near), the focus whose range starts there.
int stackFrames(const Camera& c, double aperture, glm::dvec2 subject_m) {
    const double f = c.focalLength_m;
    const double h_m = hyperfocal_m(f, aperture, c.circleOfConfusion_m);
    if (h_m <= 2.0 * f) return 1;  // a circle as large as the pupil: all counts as sharp
    double near_m = subject_m.x;
    for (int frames = 1; frames <= kMostFrames; ++frames) {
        if (near_m >= 0.5 * h_m) return frames;  // focused at H it reaches to infinity
        const double focus_m = near_m * (h_m - 2.0 * f) / (h_m - f - near_m);
        const double far_m = depthOfField(f, aperture, focus_m, c.circleOfConfusion_m).far_m;
        // A millionth: a product exactly as deep as the range is one frame.
        if (far_m >= subject_m.y * (1.0 - 1e-6)) return frames;
        near_m = far_m - kOverlap * (far_m - near_m);
    }
    return 0;
}

double sharpShare(const Camera& c, double aperture, glm::dvec2 subject_m) {
    const DepthOfField depth = depthOfField(c.focalLength_m, aperture, c.focusDistance_m, c.circleOfConfusion_m);
    const double all_m = subject_m.y - subject_m.x;
    const double sharp_m = std::min(depth.far_m, subject_m.y) - std::max(depth.near_m, subject_m.x);
    return all_m > 0.0 ? std::clamp(sharp_m / all_m, 0.0, 1.0) : (sharp_m >= 0.0 ? 1.0 : 0.0);
}

SettingCosts costsOf(const SettingsInput& input, const Setting& s) {
    const Camera& c = input.camera;
    const double n = s.aperture.exact;
    const double m = magnificationOf(c);
    SettingCosts costs;
    const DepthOfField depth = depthOfField(c.focalLength_m, n, c.focusDistance_m, c.circleOfConfusion_m);
    costs.depth_m = depth.far_m - depth.near_m;
    costs.airy_m = airyDiameter_m(kGreen_m, effectiveAperture(n, m, c.pupilRatio));
    costs.worstBlur_m = costs.airy_m;
    if (input.subject_m) {
        costs.sharpShare = sharpShare(c, n, *input.subject_m);
        costs.frames = stackFrames(c, n, *input.subject_m);
        const double defocus_m = std::max(defocusBlur_m(c, n, input.subject_m->x), defocusBlur_m(c, n, input.subject_m->y));
        // Two blurs one after the other: the root of the sum of squares. Common practice, no source.
        costs.worstBlur_m = std::hypot(defocus_m, costs.airy_m);
    }
    costs.snr_dB = snrOfGrey_dB(c.electronics, s.iso.exact);
    costs.lightTime_s = lightTime_s(input, s);
    if (input.motion_mps)
        costs.motion_px = m * *input.motion_mps * costs.lightTime_s * c.electronics.pixels.x / c.sensor_m.x;
    costs.ambient_stops = ambient_stops(input, s);
    return costs;
}

}  // namespace keyfall
