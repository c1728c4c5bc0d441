#include "rooms.h"

namespace keyfall::house {

// Embree has one room: only there can a ray's hit be made into a surface, and scene files can be
// read and checked where there is no Embree at all.
const std::vector<Room>& rooms() {
    static const std::vector<Room> table = {
        {"scene", {}, {"glm", "tinyobjloader", "toml++", "stb", "fmt", "xxHash"}},
        {"renderer/optics", {"scene"}, {"glm"}},
        {"renderer/film", {"scene"}, {"glm", "TBB"}},
        {"renderer/stage", {"renderer/optics", "scene"}, {"glm", "Embree", "TBB"}},
        {"renderer/transport",
         {"renderer/stage", "renderer/film", "renderer/optics", "scene"},
         {"glm", "TBB"}},
        {"renderer/photograph",
         {"renderer/film", "scene"},
         {"glm", "TBB", "fmt", "OpenEXR", "libpng"}},
        {"renderer/meter",
         {"renderer/transport", "renderer/photograph", "renderer/film", "renderer/stage",
          "renderer/optics", "scene"},
         {"glm", "TBB", "fmt"}},
        {"tools",
         {"renderer/meter", "renderer/photograph", "renderer/transport", "renderer/stage",
          "renderer/film", "renderer/optics", "scene"},
         {"glm", "TBB", "fmt", "Embree", "CLI11", "nlohmann-json", "Cairo", "TurboJPEG", "zlib", "NLopt"}},
    };
    return table;
}

const std::vector<LibraryHeaders>& libraries() {
    static const std::vector<LibraryHeaders> table = {
        {"glm", "glm/"},
        {"tinyobjloader", "tiny_obj_loader.h"},
        {"toml++", "toml++/"},
        {"stb", "stb/"},
        {"fmt", "fmt/"},
        {"Embree", "embree3/"},
        {"TBB", "tbb/"},
        {"TBB", "oneapi/tbb/"},
        {"OpenEXR", "OpenEXR/"},
        {"OpenEXR", "Imath/"},
        {"libpng", "png.h"},
        {"CLI11", "CLI/"},
        {"nlohmann-json", "nlohmann/"},
        {"xxHash", "xxhash.h"},
        {"Cairo", "cairo"},
        {"Cairo", "fontconfig/"},
        {"TurboJPEG", "turbojpeg.h"},
        {"zlib", "zlib.h"},
        {"NLopt", "nlopt.hpp"},
    };
    return table;
}

const std::vector<std::string>& systemHeaders() {
    static const std::vector<std::string> table = {
        "malloc.h", "pmmintrin.h",    "xmmintrin.h", "signal.h", "sanitizer/tsan_interface.h",
        "sys/resource.h", "sys/wait.h",  "unistd.h"};
    return table;
}

}  // namespace keyfall::house
