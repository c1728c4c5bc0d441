// The third-stop values that lenses and dials offer. Not here: what a single number means (photo.h).
#pragma once

#include <glm/glm.hpp>
#include <vector>

#include "scene/scene.h"

namespace keyfall {

/// The engraved numbers whose exact value lies in `range` (ends included), smallest exact value first.
/// Empty where the range lies between two of them. Times are named as dials name them: 1/n up to 1/4 s,
/// then 0.3 s, 0.4 s and so on up to 30 s (which is 32 s).
std::vector<Engraved> thirdStopApertures(glm::dvec2 range);
std::vector<Engraved> thirdStopShutters(glm::dvec2 range_s);
std::vector<Engraved> thirdStopIsos(glm::dvec2 range);

}  // namespace keyfall
