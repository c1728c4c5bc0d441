// How even the background is in the picture. Not here: how bright it is (a spot reading), how the product
// stands out from it (separation.h).
#pragma once

#include <optional>
#include <vector>

#include "renderer/film/film.h"
#include "renderer/meter/readings.h"
#include "renderer/stage/stage.h"

namespace keyfall {

/// Stops between the brightest and the darkest of five points: the middle and the four corners of the
/// backdrop that is seen. A point is a square of a 12 x 8 grid over the picture in which nothing but the
/// backdrop is seen, so that the grain of single pixels does not count as unevenness: of all such squares
/// the one nearest to the picture's middle, and to each of its corners. Five readings, of the corners and
/// the middle, are common practice, no source. The interval comes from the picture's four replicates:
/// Student's t with 3 degrees of freedom. Empty with fewer than two such squares, or where one of them is
/// black.
std::optional<Measured> backgroundEvenness_stops(const Stage& stage, const Film& film,
                                                 const std::vector<LayerMix>& mix);

}  // namespace keyfall
