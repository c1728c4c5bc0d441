#include "scene_input.h"

#include <fmt/core.h>

namespace keyfall {

SceneInput loadScene(const Options& options, bool needsCamera) {
    ReadOptions read;
    read.set = options.set;
    read.needsCamera = needsCamera;
    ReadResult result = readScene(options.scene, read);
    for (const Diagnostic& d : result.diagnostics)
        if (d.severity == Diagnostic::Severity::error || !options.quiet)
            fmt::print(stderr, "{}\n", format(d));
    const int code = result.exitCode();
    if (code != 0) result.scene.reset();
    return {std::move(result.scene), code, std::move(result.diagnostics)};
}

}  // namespace keyfall
