// A linear model of the targets near one trial of a search, and where it is least off. Not here:
// what is made of it (place_search.h).
#pragma once

#include "place_search.h"

namespace keyfall {

/// What of a distance counts: nothing on the allowed side of a bound.
inline double missOfSide(int side, double off) {
    if (side < 0) return off > 0.0 ? off : 0.0;
    return side > 0 && off > 0.0 ? 0.0 : off;
}

/// Where the model, fitted to the trials near `from`, is least off, at most `radius` away in each
/// key. Bounds are aimed at one unit inside, so that noise does not carry the result out again.
std::vector<double> modelMinimum(const SearchTask& task, const std::vector<Trial>& trials,
                                 const Trial& from, double radius);

}  // namespace keyfall
