#include "scene_input.h"

#include <fmt/core.h>

#include "chosen_lights.h"

namespace keyfall {

SceneInput loadScene(const Options& options, bool needsCamera, bool worksWithinLimits) {
    ReadOptions read;
    read.set = options.set;
    read.needsCamera = needsCamera;
    read.worksWithinLimits = worksWithinLimits;
    ReadResult result = readScene(options.scene, read);
    const int code = result.exitCode();
    if (code != 0) result.scene.reset();
    SceneInput input{std::move(result.scene), code, std::move(result.diagnostics)};
    chooseLights(options.lights, input);
    for (const Diagnostic& d : input.diagnostics)
        if (d.severity == Diagnostic::Severity::error || !options.quiet)
            fmt::print(stderr, "{}\n", format(d));
    return input;
}

}  // namespace keyfall
