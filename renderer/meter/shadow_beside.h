// Other lights' penumbrae that lie beside a found edge: two lamps throw two edges, and a line that is made for
// one of them ends before the other's. Not here: how many edges a profile has (edge_count.h).
#pragma once

#include <vector>

#include "renderer/meter/shadow_place.h"

namespace keyfall {

/// Each with its plateaus, from and to in metres along the place's line from at_m: of the lights named by their
/// index that are not the place's own. Looked for as far as the throw to either side; into the shade no farther
/// than that light's own shadow goes without its other outline.
std::vector<glm::vec2> penumbraeBeside(const Stage& stage, const EdgePlace& place,
                                       const std::vector<std::size_t>& lights);

}  // namespace keyfall
