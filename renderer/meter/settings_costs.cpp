#include "renderer/meter/settings_costs.h"

#include <algorithm>
#include <cmath>

#include "scene/focus_stack.h"
#include "scene/motion.h"
#include "scene/photo.h"
#include "scene/sensor_arithmetic.h"

namespace keyfall {
namespace {

BlurLens lensAt(const Camera& camera, double aperture) {
    BlurLens lens = blurLensOf(camera);
    lens.aperture = aperture;
    return lens;
}

std::optional<double> longestFlash_s(const SettingsInput& input, const Setting& s) {
    std::optional<double> longest_s;
    for (std::size_t l = 0; l < input.lights.size(); ++l) {
        const SettingsLight& light = input.lights[l];
        if (light.kind != LightKind::flash) continue;
        if (const auto t_s = flashDuration_s(light.t05_s, light.t05Lowest_s, light.lowest_stops, s.power_stops[l]))
            longest_s = std::max(longest_s.value_or(0.0), *t_s);
    }
    return longest_s;
}

std::optional<double> ambient_stops(const SettingsInput& input, const Setting& s) {
    const LightAtProbe light(input);
    const double flash = light.flash(s.power_stops);
    const double continuous = light.continuous(s.power_stops) * s.shutter_s.exact;
    if (!(flash > 0.0) || !(continuous > 0.0)) return {};
    return std::log2(continuous / flash);
}

/// The rule of the report (scene/motion.h), for these powers and this time.
void putTime(const SettingsInput& input, const Setting& s, SettingCosts& costs) {
    const bool flash = LightAtProbe(input).flash(s.power_stops) > 0.0;
    const bool draws = costs.ambient_stops ? flashDraws(*costs.ambient_stops) : flash;
    costs.drawing = drawingOf(draws, costs.ambient_stops.has_value(), longestFlash_s(input, s), s.shutter_s.exact);
    costs.lightTime_s = costs.drawing.time_s.value_or(kUsualFlash_s);
    if (!input.motion_mps) return;
    const Camera& c = input.camera;
    const double m = magnification(c.focalLength_m, focusOf_m(input, s));
    const auto pixels = [&](double time_s) {
        return imageBlur_m(*input.motion_mps, m, time_s) * c.electronics.pixels.x / c.sensor_m.x;
    };
    if (costs.drawing.time_s) costs.motion_px = pixels(*costs.drawing.time_s);
    if (costs.drawing.ghost_s) costs.ghost_px = pixels(*costs.drawing.ghost_s);
}

}  // namespace

double snrOfGrey_dB(const SettingsInput& input, double iso) {
    return snr_db(input.greyAtIso100_e * 100.0 / iso, input.camera.electronics.readNoise_e);
}

double belowBase_stops(const Camera& camera, double iso) {
    constexpr double kRounding_stops = 0.01;
    const double below_stops = std::log2(camera.electronics.baseIso / iso);
    return below_stops > kRounding_stops ? below_stops : 0.0;
}

double rawOverGrey_stops(const SettingsInput& input, double iso) {
    const SensorModel& sensor = input.camera.electronics;
    const double converter_e = input.converterAtBase_e * sensor.baseIso / std::max(iso, sensor.baseIso);
    return std::log2(std::min(converter_e, sensor.fullWell_e) * iso / (100.0 * input.greyAtIso100_e));
}

double sharpDepthShare(const Camera& c, double aperture, double focus_m, glm::dvec2 subject_m) {
    const DepthOfField depth = depthOfField(c.focalLength_m, aperture, focus_m, c.circleOfConfusion_m);
    const double all_m = subject_m.y - subject_m.x;
    const double sharp_m = std::min(depth.far_m, subject_m.y) - std::max(depth.near_m, subject_m.x);
    return all_m > 0.0 ? std::clamp(sharp_m / all_m, 0.0, 1.0) : (sharp_m >= 0.0 ? 1.0 : 0.0);
}

std::optional<double> refocusFor_m(const SettingsInput& input, double aperture) {
    const Camera& c = input.camera;
    if (!input.subject_m || !(input.subject_m->x > c.focalLength_m)) return {};
    const double middle_m = middleFocus_m({input.subject_m->x, input.subject_m->y});
    if (sharpDepthShare(c, aperture, c.focusDistance_m, *input.subject_m) >= 1.0) return {};
    if (sharpDepthShare(c, aperture, middle_m, *input.subject_m) < 1.0) return {};
    return middle_m;
}

ApertureCosts apertureCosts(const SettingsInput& input, double aperture, double focus_m) {
    const Camera& c = input.camera;
    const BlurLens lens = lensAt(c, aperture);
    ApertureCosts costs;
    const DepthOfField depth = depthOfField(c.focalLength_m, aperture, focus_m, c.circleOfConfusion_m);
    costs.depth_m = depth.far_m - depth.near_m;
    costs.worstBlur_m = costs.airy_m = airyOnSensor_m(lens, focus_m);
    if (!input.subject_m) return costs;
    const DepthRange range{input.subject_m->x, input.subject_m->y};
    const std::optional<FocusStack> stack = focusStack(lens, range);
    costs.frames = stack ? static_cast<int>(stack->focus_m.size()) : 0;
    costs.sharpDepthShare = sharpDepthShare(c, aperture, focus_m, *input.subject_m);
    costs.worstBlur_m = totalBlur_m(lens, range, focus_m);
    return costs;
}

SettingCosts costsOf(const SettingsInput& input, const Setting& s) {
    return costsOf(input, s, apertureCosts(input, s.aperture.exact, focusOf_m(input, s)));
}

SettingCosts costsOf(const SettingsInput& input, const Setting& s, const ApertureCosts& aperture) {
    SettingCosts costs;
    costs.depth_m = aperture.depth_m;
    costs.sharpDepthShare = aperture.sharpDepthShare;
    costs.frames = aperture.frames;
    costs.worstBlur_m = aperture.worstBlur_m;
    costs.airy_m = aperture.airy_m;
    costs.snr_dB = snrOfGrey_dB(input, s.iso.exact);
    costs.rawOverGrey_stops = rawOverGrey_stops(input, s.iso.exact);
    costs.ambient_stops = ambient_stops(input, s);
    putTime(input, s, costs);
    return costs;
}

}  // namespace keyfall
