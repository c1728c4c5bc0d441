// A lamp and its modifier alone, in the modifier's own frame: what a bake traces and what `lamp`
// measures. Not here: the set.
#pragma once

#include "scene/scene.h"

namespace keyfall {

enum class Doors { with, without };  ///< parts that stand in front of the exit

/// One light of unit flux named "lamp", its body of `lampBody`, and the parts of `body` (nullptr: a
/// bare lamp at the origin, facing z). No camera, no probes, nothing else.
Scene bareScene(const LampShape& shape, const Material& lampBody, const ModifierBody* body, Doors doors);

}  // namespace keyfall
