// How even the background is in the picture. Not here: how bright it is (a spot reading).
#pragma once

#include <optional>
#include <vector>

#include "renderer/film/film.h"
#include "renderer/meter/readings.h"
#include "renderer/stage/stage.h"

namespace keyfall {

/// Stops between the brightest and the darkest square of a 12 x 8 grid over the picture, of the
/// squares in which nothing but the backdrop is seen. Squares, so that the grain of single pixels
/// does not count as unevenness; common practice (a background is metered in its corners and its
/// middle), no source. The interval comes from the picture's four replicates: Student's t with 3
/// degrees of freedom. Empty with fewer than two such squares, or where one of them is black.
std::optional<Measured> backgroundEvenness_stops(const Stage& stage, const Film& film,
                                                 const std::vector<LayerMix>& mix);

}  // namespace keyfall
