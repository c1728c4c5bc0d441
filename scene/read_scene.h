// From a scene file to a Scene. Not here: the library of lamps and materials (library.h).
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scene/scene.h"

namespace keyfall {

/// One message: `file:line:column: error: what was found; what is allowed; a likely fix`.
struct Diagnostic {
    enum class Severity { error, warning };
    Severity severity = Severity::error;
    std::filesystem::path file;
    int line = 0;  ///< 0: the place is a --set option or the whole file
    int column = 0;
    std::string text;
    bool aboutOtherFile = false;  ///< a mesh or CSV: exit code 4 instead of 3
};

/// The message on one line, as users see it. The path is printed as it was given.
std::string format(const Diagnostic& diagnostic);

struct ReadResult {
    std::optional<Scene> scene;           ///< empty when there was an error
    std::vector<Diagnostic> diagnostics;  ///< every mistake of meaning, or the one of syntax
    /// 0 without errors; 4 when every error is about a mesh or another file; else 3.
    int exitCode() const;
};

struct Library;

struct ReadOptions {
    /// `light.key.power=1/4`, as --set gives them, applied in order.
    std::vector<std::string> set;
    /// A variant of the file, whose keys are set after those of `set`; empty: the set as it is.
    std::string variant;
    bool needsCamera = true;  ///< false for `meter`
    bool worksWithinLimits = false;  ///< `settings`: limits that no setting meets are a mistake
    /// In place of the shipped library, read once by whoever reads many scenes.
    const Library* library = nullptr;
};

/// Reads, checks and places everything. Never throws for a user's mistake.
ReadResult readScene(const std::filesystem::path& file, const ReadOptions& options = {});
/// The same for text that `file` would hold: messages name it, paths in the text are taken from its
/// place.
ReadResult readSceneText(std::string_view text, const std::filesystem::path& file,
                         const ReadOptions& options = {});

}  // namespace keyfall
