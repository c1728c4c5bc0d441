// Where a lamp that is short would have to stand, as the meter reads it there. Not here: the guess by the
// inverse square from which it starts (renderer/meter/settings_needs.h).
#pragma once

#include "settings_report.h"

namespace keyfall {

/// Puts each lamp that is short or over where the inverse square says, reads the probe there, and up to
/// twice more after a correction by what was read. Powers as each lamp needs them, the camera as set. Where
/// the scene cannot be read with lamps there (they would stand in something), the distances stay the guess
/// and nothing is metered; likewise when of a limited time (`time_s`) nothing is left.
MeteredPlace meteredPlace(const Options& options, const Scene& scene, const ProbeReading& reading,
                          const SettingsReport& settings, std::optional<double> time_s);

}  // namespace keyfall
