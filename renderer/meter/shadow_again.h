// Where a light's edge was found on one form of a set, so that other forms are measured there, too: an edge
// moved to another throw is another edge. Not here: finding the first (shadow_find.h).
#pragma once

#include <optional>

#include "renderer/meter/shadow_edge.h"
#include "renderer/meter/shadow_place.h"

namespace keyfall {

FoundLine foundLine(const Scene& scene, const EdgePlace& place);

/// The edge of that light and caster where it crosses the line now, made longer by half of the throw on either
/// side: an outline may wander as a lamp moves. Empty: none with a lit plateau and a deepest shade on that
/// surface, from shade to light as before, crossed at 30 degrees or more. The camera need not see it.
std::optional<EdgePlace> placeAgain(const Stage& stage, std::size_t light, const FoundLine& line);

}  // namespace keyfall
