// Which vertices share a place: for closedness and for normals. Not here: changing the mesh.
#pragma once

#include <array>
#include <cstdint>
#include <glm/glm.hpp>
#include <span>
#include <vector>

namespace keyfall {

/// For each position the index of the first one at the same place; a representative names itself.
/// `tolerance`: places closer than this are one (greedy, in file order); 0 = bit-equal, where -0
/// and 0 are equal. Not checked: NaN and infinite positions.
std::vector<std::uint32_t> weldPositions(std::span<const glm::vec3> positions, float tolerance);

/// True when every edge has exactly two triangles that run along it in opposite directions.
/// `weld` is the answer of weldPositions; triangles that it collapses are left out. Empty: false.
bool isClosed(std::span<const std::array<std::uint32_t, 3>> triangles,
              std::span<const std::uint32_t> weld);

}  // namespace keyfall
