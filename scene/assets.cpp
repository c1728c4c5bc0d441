// Where the shipped data lies. Not here: what is in it (fine_spectrum.cpp, library.cpp).
#include <cstdlib>
#include <stdexcept>
#include <vector>

#include "scene/fine_spectrum.h"

namespace keyfall {

std::filesystem::path assetsDirectory() {
    namespace fs = std::filesystem;
    std::error_code ignored;  // an unreadable place is a place without data
    std::vector<fs::path> tried;
    // Set by the user: only there, so that a wrong setting is not hidden by another copy.
    if (const char* set = std::getenv("KEYFALL_ASSETS"); set && *set) tried.emplace_back(set);
    if (tried.empty()) {
        const fs::path program = fs::read_symlink("/proc/self/exe", ignored);
        if (!program.empty())
            tried.push_back((program.parent_path() / "../share/keyfall/assets").lexically_normal());
        tried.emplace_back(KEYFALL_SOURCE_ASSETS);
    }
    std::string places;
    for (const fs::path& place : tried) {
        if (fs::is_directory(place / "spectra", ignored)) return place;
        places += "\n  " + place.string();
    }
    throw std::runtime_error("the program's data (a directory with spectra/) is not in:" + places +
                             "\nset KEYFALL_ASSETS to the directory that holds it");
}

}  // namespace keyfall
