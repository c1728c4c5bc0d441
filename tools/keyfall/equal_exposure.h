// By how much lamps or camera change so that the picture at one probe shows the set exposure, from a
// reading that was taken before. Not here: which variants there are (compare_plan.h), tracing.
#pragma once

#include <string>
#include <vector>

#include "compared.h"

namespace keyfall {

/// How all variants are brought to equal exposure.
struct EqualExposure {
    std::string at;                  ///< the probe's name
    Compare::By by = Compare::By::power;
    std::vector<std::string> lamps;  ///< of By::power: those that move, all by the same stops

    /// False: everything stays exposed as set.
    bool moves() const { return by != Compare::By::none && (by != Compare::By::power || !lamps.empty()); }
};

/// What brings `picture_stops_over` of the reading named `wish.at` to 0: an incident or dome probe to the
/// set f-number with close-up loss and calibration counted, a spot to 18 % grey. Light is a sum, so
///     moved * 2^stops + rest = exposure / 2^(stops over)
/// holds exactly; without a lamp to move, nothing moves. The interval is the reading's (jackknife).
Compensation compensationFor(const Scene& scene, const std::vector<ProbeReading>& readings, const EqualExposure& wish);

/// Powers, or the camera's numbers, changed by that. Powers keep every digit: a dial has steps, the
/// picture does not.
void compensate(Scene& scene, const Compensation& compensation);

/// What a person has to know of it: power-out-of-range, not-equal-exposure, depth-of-field-moves,
/// iso-below-base. `scene` is after compensation.
std::vector<Warning> compensationWarnings(const Scene& scene, const EqualExposure& wish, const Compensation& compensation);

/// Is it one of those, or power-compensated (compare_plan.h)? What sheet and page say beside the pictures.
bool isOfExposure(const Warning& warning);

const char* nameOf(Compare::By by);

/// "key 1/4+0.31 (+1.40 stops)", "ISO 137 (+0.45 stop)", "as set". `scene` is after compensation.
std::string compensationText(const Scene& scene, const Compensation& compensation);
/// The nearest settings of the moved lamps' dials: "key 1/4+0.3"; empty where no lamp moved.
std::string dialText(const Scene& scene, const Compensation& compensation);

}  // namespace keyfall
