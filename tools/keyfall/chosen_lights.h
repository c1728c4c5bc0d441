// `--lights`: which lights are on in picture and readings. Not here: the scene's own `on` (scene/).
#pragma once

#include <string>
#include <vector>

#include "scene_input.h"

namespace keyfall {

/// Switches on the lights named and off the others, as they stand. "ambient" is all that the camera
/// sees with the flash off: the continuous lights as the scene has them, the room's light, surfaces that
/// glow. Without a name nothing changes. Drops what the file was told about lights that are now off.
/// Throws CommandLineError for a name that no light has, with those there are.
void chooseLights(const std::vector<std::string>& names, SceneInput& input);

}  // namespace keyfall
