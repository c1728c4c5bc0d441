// Finds a light's main cast shadow on table, backdrop or room, and on its outline a good place to measure
// its edge. Not here: what an edge's place is (shadow_place.h), lines given by the scene (shadow_cross.h).
#pragma once

#include <optional>

#include "renderer/meter/shadow_place.h"

namespace keyfall {

/// The largest shadow that the light throws, of a product before a block, of a block before a board or flag;
/// with a camera, the part of it that is seen. On its outline the place that is straight, far from where the
/// caster stands, and has all of the penumbra between a lit and a shaded plateau; of those the one whose
/// throw is nearest to half of the shadow's longest, rather on the camera's side of the caster. Where none has
/// full shade, the deepest place on its line counts as the shade (EdgePlace::deepest_m). `along` is square to
/// the outline.
/// Empty: no such shadow, or no such place on it.
std::optional<EdgePlace> mainShadow(const Stage& stage, std::size_t light);

}  // namespace keyfall
