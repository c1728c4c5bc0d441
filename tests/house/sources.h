// The project's own source files and their #include lines. Not here: what is allowed (rooms.h).
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace keyfall::house {

inline const std::filesystem::path kRoot = KEYFALL_ROOT;  ///< the project's

struct Include {
    std::string target;   ///< what stands between the quotes or brackets
    bool quoted = false;  ///< "..." and not <...>
    int line = 0;
};

/// Every #include of a text, also one that #if leaves out: an arrow that no compiler sees today is
/// still written down. Not understood: an #include inside a block comment counts too.
std::vector<Include> includesOf(const std::string& text);

/// All .h and .cpp below root/room, as paths from root, sorted. Empty when there is no such room.
std::vector<std::filesystem::path> sourcesOf(const std::filesystem::path& root,
                                             const std::string& room);

/// The whole file. Throws std::runtime_error when it cannot be read.
std::string readText(const std::filesystem::path& file);

}  // namespace keyfall::house
