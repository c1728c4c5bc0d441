// What a camera setting costs: depth, diffraction, grain, blur, ambient light in the flash. Pure
// arithmetic of the thin lens and the sensor. Not here: exposure (settings.h), order (settings_rank.h).
#pragma once

#include "renderer/meter/settings.h"

namespace keyfall {

/// What depends on the f-number alone. A focus stack is planned for it: once an f-number, not a row.
struct ApertureCosts {
    double depth_m = 0.0;
    std::optional<double> sharpDepthShare;
    int frames = 1;
    double worstBlur_m = 0.0;
    double airy_m = 0.0;
};
ApertureCosts apertureCosts(const SettingsInput& input, double aperture, double focus_m);

SettingCosts costsOf(const SettingsInput& input, const Setting& setting, const ApertureCosts& aperture);
SettingCosts costsOf(const SettingsInput& input, const Setting& setting);

/// Signal over noise of mid grey, one green pixel, dB: a speed s times as high leaves 1/s of the electrons.
double snrOfGrey_dB(const SettingsInput& input, double iso);

/// A flash of which no time is known, for the order alone, s: t0.5 of studio flash is 1/800 to 1/2000 s
/// (common practice, no source).
inline constexpr double kUsualFlash_s = 1.0 / 1000.0;

/// Stops from mid grey to where a green pixel's raw ends: converter or well, the less. Below the base ISO the
/// converter's gain stays (sensor_arithmetic.h), so that the end comes nearer.
double rawOverGrey_stops(const SettingsInput& input, double iso);
/// Stops under the base ISO by more than its rounding; else 0.
double belowBase_stops(const Camera& camera, double iso);

/// Share of the subject's depth within the depth of field, focused at `focus_m`, 0 to 1.
double sharpDepthShare(const Camera& camera, double aperture, double focus_m, glm::dvec2 subject_m);

}  // namespace keyfall
