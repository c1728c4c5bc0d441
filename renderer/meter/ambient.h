// Flash against all other light at a probe. Not here: what a card adds (readings.h).
#pragma once

#include <optional>

#include "renderer/meter/readings.h"

namespace keyfall {

/// Whether any flash, and any continuous light (lamps, the room's light, surfaces that glow), is on.
bool anyFlashOn(const Scene& scene);
bool anyContinuousOn(const Scene& scene);

/// A probe's exposure by flash alone, and by all continuous light within the shutter time: lx*s, or
/// cd*s/m^2 of a spot. The two add up to its exposure.
Reading flashExposure(const Scene& scene, const ProbeReading& reading);
Reading ambientExposure(const Scene& scene, const ProbeReading& reading);

/// Ambient against flash in stops, below 0 where the ambient is the weaker: what a frame with the flash
/// off is under the flash's own light. "Ambient" is all continuous light, as a photographer who fires a
/// flash sees it. Empty where either is too little for a figure.
std::optional<Measured> ambientStops(const Scene& scene, const ProbeReading& reading);

/// log2 of continuous light for `time_s` over the probe's exposure as set: the same place in video
/// against the still. Empty without continuous light there.
std::optional<Measured> continuousStops(const Scene& scene, const ProbeReading& reading, double time_s);

}  // namespace keyfall
