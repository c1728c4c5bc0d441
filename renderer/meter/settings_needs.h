// What a lamp lacks for the camera as set, and what would bring it: nearer, more ISO, a wider aperture, a
// longer time, a larger lamp. Not here: the table of settings (settings_rank.h).
#pragma once

#include "renderer/meter/settings.h"

namespace keyfall {

/// Of one lamp that moves, with the camera as set and all moving lamps changed by the same stops.
struct LampNeed {
    std::size_t light = 0;     ///< into SettingsInput::lights
    double power_stops = 0.0;  ///< that it would need; above 0: more than it has
    double short_stops = 0.0;  ///< beyond full power; 0: it has enough
    double over_stops = 0.0;   ///< that its lowest power is still too much; 0: it can go low enough
    /// Where it would do at the nearest power that it has, all moving lamps at such places: from the exit
    /// by the inverse square, which near a lamp as large as its distance is only about right.
    double distance_m = 0.0;
    double leastFlux = 0.0;  ///< lm*s or lm of a lamp that would do there at full power
};

/// Too weak at full power, or too strong at its lowest.
bool lampCannot(const LampNeed& need);

/// Empty where no lamp that moves sends light, or where what stays as it is is too much already.
std::vector<LampNeed> lampNeeds(const SettingsInput& input, int leftOut = -1);

/// The smallest change of one value alone, powers free, that exposes as wished, else one that comes within
/// kNearest_stops of it; empty: none.
struct OneChange {
    std::optional<Setting> aperture, shutter, iso;
};
OneChange oneChanges(const SettingsInput& input, const SettingsRanges& ranges);

/// Stops that the light is short (+) or over (-) even where everything within the limits is used; 0: it
/// can be exposed, or lies between two values.
double shortWithinLimits_stops(const SettingsInput& input, const SettingsRanges& ranges);

}  // namespace keyfall
