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
    if (code != 0) return {std::nullopt, code};
    return {std::move(result.scene), 0};
}

}  // namespace keyfall
