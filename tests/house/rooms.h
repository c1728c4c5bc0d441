// The rooms of the house and the arrows between them: the one place where they are stated for the
// machine. Not here: reading the files (sources.h), the checks (arrows.cpp).
#pragma once

#include <string>
#include <vector>

namespace keyfall::house {

struct Room {
    std::string path;                    ///< from the project's root, without a last slash
    std::vector<std::string> rooms;      ///< whose headers it may include, besides its own
    std::vector<std::string> libraries;  ///< names of kLibraries
};

/// In the order in which data flows: a room includes at most what stands before it. DEVELOPERS.md
/// prints the same table, and a test compares the two.
const std::vector<Room>& rooms();

/// A library outside the project, by how its headers are included.
struct LibraryHeaders {
    std::string name;
    std::string prefix;  ///< "glm/" or a whole header name
};
const std::vector<LibraryHeaders>& libraries();

/// Headers of the system and the compiler that any room may include.
const std::vector<std::string>& systemHeaders();

}  // namespace keyfall::house
