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
/// The two flags are those of ReadOptions.
/// Throws CommandLineError for a light that the scene does not have.
SceneInput loadScene(const Options& options, bool needsCamera, bool worksWithinLimits = false);

}  // namespace keyfall
