// How strong a lamp is, from what a maker or a meter says of it in a modifier. Not here: reading that
// from a scene file (scene/read_flux.h), tables from the disk (tools/keyfall).
#pragma once

#include <memory>
#include <optional>

#include "renderer/film/reading.h"
#include "renderer/transport/run.h"
#include "scene/near_field_table.h"
#include "scene/scene.h"

namespace keyfall {

/// What the rated modifier sends there of a unit of the lamp's flux: intensity on the axis (1/sr) where
/// rating.isIntensity, else illuminance on the axis at rating.distance_m from the exit (1/m^2).
/// Under the bare lamp's own colour, as it was rated. Fixed points: same input, same bytes; of `run` only
/// threads and stop are looked at. Sure to about a thousandth for a table without noise.
/// Empty when stopped before it was whole, or when no light arrives there.
std::optional<Reading> ratedTransfer(const Rating& rating, const Material& lampBody,
                                     std::shared_ptr<const NearFieldTable> table, const RunSettings& run);

}  // namespace keyfall
