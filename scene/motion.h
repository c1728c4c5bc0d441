// Time as a photographer meets it: what shakes, what moves, what flickers, what a flash freezes.
// Pure arithmetic. Not here: exposure (photo.h), the wording of a report (tools/keyfall).
#pragma once

#include <glm/glm.hpp>
#include <optional>
#include <string>

#include "scene/scene.h"

namespace keyfall {

// --- Shake. Common practice, no source ---
/// Focal length that sees as much on a 36 x 24 mm sensor, by the diagonals.
double fullFrameFocalLength_m(double focalLength_m, glm::dvec2 sensor_m);
/// Slowest shutter held in the hand: 1/(full-frame focal length in mm), and no slower than 1/60 s.
double handheldLimit_s(double focalLength_m, glm::dvec2 sensor_m);

/// Longer than that limit by more than numbers are engraved: 1/60 is 1/64, and 85 mm name 1/85.
bool isTooSlowByHand(double time_s, double limit_s);

// --- Flash ---
/// Share of the frame's shorter side that gets no flash from a shutter faster than the sync time. A focal-
/// plane shutter then never stands open all over: its slit passes t/t_sync of the frame while the flash
/// fires, so 1 - t/t_sync stays dark. 0 at the sync time and slower. Curtains that run as long as the
/// sync time are assumed, and a flash that is short against it.
double flashCutShare(double shutter_s, double sync_s);
/// What a shutter faster than the sync time does to the flash, for people; "" where it is not faster.
std::string flashCutText(const Camera& camera);
/// t0.5 of a flash lamp at its set power: between full and lowest power, log t over stops; beyond the
/// lowest as there. Without figures for the lowest power: that of full power. Empty: none is known.
/// Interpolated by common practice: lamps that cut their pulse are shorter at low power, in even steps.
std::optional<double> flashDuration_s(const Light& light);
/// The same of its figures alone, at a power in stops under full.
std::optional<double> flashDuration_s(std::optional<double> full_s, std::optional<double> lowest_s,
                                      std::optional<double> lowestPower_stops, double power_stops);

// --- Moving subjects ---
/// How far the image of a subject at the focus goes on the sensor: m * v * t.
double imageBlur_m(double speed_mps, double magnification, double time_s);

// --- Video ---
/// Exposure of one frame: angle / (2 pi) / fps, the angle in degrees: (angle/360)/fps.
double videoExposure_s(const Video& video);

/// Lamps on mains pulse at twice its frequency. `periods` pulses fall into one exposure.
struct Flicker {
    double periods = 0.0;
    bool safe = true;            ///< within kFlickerTolerance of a whole number of pulses
    /// Between the lightest and the darkest frame or line of a lamp that goes out between pulses
    /// (1 + cos): 2a of its light around the mean, a = |sin(pi n)|/(pi n) for n periods.
    double worst_stops = 0.0;
    /// The nearest angle of a whole number of pulses, of those up to 360 degrees. Empty: a frame is
    /// shorter than a pulse.
    std::optional<double> safeAngle_deg;
};
inline constexpr double kFlickerTolerance = 0.01;  ///< of a pulse: 0.03 stop at worst
Flicker flickerOf(const Video& video);

/// What gives video the still's picture value where it is `stops` over (+) or under (-) it: one of
/// three, the other two as they are.
struct SameLook {
    double iso = 0.0;            ///< exact
    double aperture = 0.0;       ///< exact
    double power_stops = 0.0;    ///< to add to every continuous light
};
SameLook sameLook(double stops, double iso, double aperture);
/// The third-stop speed nearest to an exact one, with its engraved number.
Engraved nearestIso(double exact);

}  // namespace keyfall
