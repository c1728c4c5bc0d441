// What a key path such as light.key.power leads to in a scene file: for commands that change keys
// over a range. Not here: changing them (ReadOptions::set), reading the rest of the file
// (read_scene.h).
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "scene/schema.h"

namespace keyfall {

struct KeyFacts {
    std::string problem;  ///< found; allowed; a likely fix. Empty: the path leads to a key
    Type type = Type::number;
    std::string unit;  ///< "cm"; "" where it has none
    /// The last part names one of the three numbers of a place: light.key.at.x. `path` is then
    /// without it.
    std::optional<std::size_t> axis;
    std::string path;
    std::vector<double> written;  ///< the number or numbers that the file has there; empty: none
};

/// Of the file with the --set options `set`. A file that cannot be read at all gives no problem
/// here: whoever reads it next tells.
KeyFacts factsOfKey(const std::filesystem::path& file, const std::vector<std::string>& set,
                    const std::string& path);

}  // namespace keyfall
