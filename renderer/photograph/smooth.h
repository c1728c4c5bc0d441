// Takes the noise of the calculation out of a picture, for a detail that has to show the sensor's grain. A
// picture alone: readings, layers and figures are never smoothed. Not here: the grain (noise.h).
#pragma once

#include <vector>

#include "renderer/film/film.h"
#include "renderer/photograph/develop.h"

namespace keyfall {

/// Replaces each pixel by a weighted mean of those up to 10 pixels off whose surroundings (5 x 5 pixels of
/// `picture`, three channels) differ by no more than their own noise accounts for: non-local means (Buades, Coll
/// and Morel 2005) with the distance of Rousselle, Knaus and Zwicker 2012 (ACM TOG 31(6); both from memory), which
/// subtracts the noise's own variance, known from the film's replicates. `electrons` gets the same weights. What
/// differs by less than about twice its noise is smoothed away with it. `mix` is that of the picture.
///
/// Returns the noise that is left, in stops, from the replicates under the same weights: the 95th percentile
/// of the standard error over pixels that are not black. The same bytes for any number of threads.
/// Throws std::logic_error for pictures of another size than the film's.
double smoothNoise(const Film& film, const std::vector<LayerMix>& mix, PixelImage& picture,
                   PixelImage& electrons);

}  // namespace keyfall
