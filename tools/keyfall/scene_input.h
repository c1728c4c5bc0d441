// Reading a scene for a command, with its messages on standard error.
#pragma once

#include <optional>

#include "options.h"
#include "scene/read_scene.h"

namespace keyfall {

struct SceneInput {
    std::optional<Scene> scene;
    int exitCode = 0;
    std::vector<Diagnostic> diagnostics;  ///< as printed, warnings included
};

/// Prints every diagnostic; warnings only when not quiet. Switches lights as --lights says.
/// Throws CommandLineError for a light that the scene does not have.
SceneInput loadScene(const Options& options, bool needsCamera);

}  // namespace keyfall
