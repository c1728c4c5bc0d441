// Triangle meshes in world metres. Not here: reading OBJ (obj.h), simple solids (solids.h).
#pragma once

#include <array>
#include <cstdint>
#include <glm/glm.hpp>
#include <vector>

namespace keyfall {

/// Indexed triangles. Positions, normals and uvs share one index (a corner with another normal is
/// another vertex). Front side: counter-clockwise.
struct Mesh {
    std::vector<glm::vec3> position_m;
    std::vector<glm::vec3> normal;  ///< unit, as many as positions; empty: flat facets
    std::vector<glm::vec2> uv;      ///< as many as positions, or empty
    std::vector<std::array<std::uint32_t, 3>> triangle;
    std::vector<std::uint16_t> slot;  ///< per triangle, index into Item::materials; empty: all 0
    bool closed = false;              ///< every edge has exactly two triangles, wound oppositely
};

struct Box3 {
    glm::vec3 low{1e30F};
    glm::vec3 high{-1e30F};
    void add(glm::vec3 p) { low = glm::min(low, p); high = glm::max(high, p); }
    glm::vec3 size() const { return high - low; }
    glm::vec3 middle() const { return 0.5F * (low + high); }
};

Box3 boundsOf(const Mesh& mesh);
double areaOf_m2(const Mesh& mesh);
/// Signed volume by the divergence theorem; meaningful when closed, positive when wound outward.
double volumeOf_m3(const Mesh& mesh);
/// Sets `closed`: welds bit-equal positions, then counts edges.
void findWhetherClosed(Mesh& mesh);

}  // namespace keyfall
