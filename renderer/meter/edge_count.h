// How many shadow edges a profile has. Not here: how wide one is (shadow_profile.h).
#pragma once

#include "renderer/meter/shadow_profile.h"

namespace keyfall {

/// Separate edges along the line with all lights on, by the light there over the open light.
///
/// An edge is a stretch around a place that is steepest, out to a third of that slope; its foot goes on as
/// far as the slope keeps its sign and does not double again: there another edge begins. So two lamps are
/// two edges where it is half as steep between them as in the shallower one. What the foot changes outside
/// of its edge is a second, wide edge under it (the mouth of an open bowl under its bulb's) where it
/// reaches three times as far and makes 15 % of the step. A third, because then a rectangle's profile and a
/// disk's are one edge whole; three times, because no single front comes near it: a bell curve has 1.3, the
/// diagonal square 1.2, a cusp exp(-|x|) 2.3. Our own rule, no source.
///
/// Gate: an edge has to change the light by kLeastStep of the open light (a twentieth of a stop, less than one
/// sees) and by four standard errors of that very step over the replicates.
inline constexpr double kLeastStep = 0.035;
int countEdges(const Profile& profile);

}  // namespace keyfall
