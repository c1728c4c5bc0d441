// What a camera setting costs: depth, diffraction, grain, blur, ambient light in the flash. Pure
// arithmetic of the thin lens and the sensor. Not here: exposure (settings.h), order (settings_rank.h).
#pragma once

#include "renderer/meter/settings.h"

namespace keyfall {

SettingCosts costsOf(const SettingsInput& input, const Setting& setting);

/// Signal over noise of 18 % grey, one pixel, in dB (20 log10). The pixel's well is full at raw clipping,
/// 1.41 of a white (ISO 12232: half a stop above a 100 % reflector), at base ISO; a speed s times as high
/// leaves 1/s of the electrons:  n = 0.18/1.41 * full well * base/iso,  SNR = n / sqrt(n + read noise^2).
double snrOfGrey_dB(const SensorModel& sensor, double iso);

/// Longest time that is usually held by hand, s (scene/motion.h).
double handheldLimit_s(const Camera& camera);

/// Time above half of its peak that a flash takes, s, at a power in stops under full: between full and
/// lowest power as scene/motion.h has it. Without figures 1/1000 s (t0.5 of studio flash is 1/800 to
/// 1/2000 s: common practice).
double flashDuration_s(const SettingsLight& light, double power_stops);

/// Blur on the sensor of a point at `distance_m` from the lens, thin lens: (f/N) m |d - s|/d, metres.
double defocusBlur_m(const Camera& camera, double aperture, double distance_m);

/// Frames whose sharp ranges cover from nearest to farthest (metres from the lens), each overlapping the
/// one before by a fifth of its own depth, the focus freely chosen. 0: more than 999.
int stackFrames(const Camera& camera, double aperture, glm::dvec2 subject_m);

/// Share of the subject's depth within the depth of field, as focused, 0 to 1.
double sharpShare(const Camera& camera, double aperture, glm::dvec2 subject_m);

}  // namespace keyfall
