// An OBJ as its file has it: points, triangles with three indices a corner, groups by name.
// Not here: welding and normals (obj_normals.h), materials (obj_materials.h).
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <glm/glm.hpp>
#include <limits>
#include <string>
#include <utility>
#include <vector>

namespace keyfall {

struct RawObj {
    static constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();

    struct Corner {
        std::uint32_t v = kNone, vt = kNone, vn = kNone;
    };
    struct Triangle {
        std::array<Corner, 3> corner;
        std::int32_t smoothing = -1;  ///< -1: the file has said nothing, 0: off, else the group
        std::uint16_t slot = 0;
    };
    struct Slot {
        std::string material, group;
        auto operator<=>(const Slot&) const = default;
    };

    std::vector<glm::vec3> position, normal;  ///< normals are unit; a zero one marks a bad line
    std::vector<glm::vec2> uv;
    std::vector<Triangle> triangle;
    std::vector<Slot> slot;
    std::vector<std::string> library;  ///< MTL files named, in order, as written
    std::vector<std::string> warnings;
};

/// Reads the polygons of `file` and splits them: n corners give n - 2 triangles.
/// Afterwards every index is in range and every number finite. Throws ObjError.
RawObj readRawObj(const std::filesystem::path& file);

/// Splits a polygon into size - 2 triangles of its own corner numbers, same winding: quads along
/// the shorter diagonal that lies inside, others by cutting ears in the plane of the area vector.
/// A polygon that crosses itself still gives size - 2 triangles; their shape is then arbitrary.
std::vector<std::array<std::uint32_t, 3>> splitPolygon(const std::vector<glm::dvec3>& corner);

}  // namespace keyfall
