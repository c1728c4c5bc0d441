// Whole files or none: writes beside the target, then renames. Not here: formats (png.h, exr.h).
#pragma once

#include <filesystem>
#include <functional>
#include <stdexcept>
#include <string>

namespace keyfall {

/// An output that could not be written; the text names the path (exit code 5).
struct WriteError : std::runtime_error {
    WriteError(const std::filesystem::path& path, const std::string& why)
        : std::runtime_error(path.string() + ": could not be written: " + why) {}
};

/// Where an output really goes.
struct OutputTarget {
    std::filesystem::path file;  ///< symbolic links followed, also to a file that is not there yet
    /// A pipe, a device, or a descriptor of this process (/dev/stdout): something to pour bytes
    /// into. A rename would put a file in its place; for /dev/null, everybody's.
    bool stream = false;
};
/// Throws WriteError when links lead in a circle.
OutputTarget outputTarget(const std::filesystem::path& target);

/// Calls `write` with the path of a new file in the target's directory, then renames that file to
/// `target`; a link keeps standing and what it names is replaced. When anything throws, the part
/// written is removed, a file that was there before stays as it was, and a WriteError that names
/// `target` is thrown. A stream gets the bytes of a temporary file, once that is whole.
void writeWhole(const std::filesystem::path& target,
                const std::function<void(const std::filesystem::path&)>& write);

}  // namespace keyfall
