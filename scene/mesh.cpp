// Measures of a triangle mesh. Not here: reading OBJ (obj.h), simple solids (solids.h).
#include "scene/mesh.h"

#include "scene/mesh_weld.h"

namespace keyfall {
namespace {

struct Corners {
    glm::dvec3 a, b, c;
};

// In double: a float sum over 2 million triangles loses three digits.
Corners cornersOf(const Mesh& mesh, const std::array<std::uint32_t, 3>& t) {
    return {glm::dvec3(mesh.position_m[t[0]]), glm::dvec3(mesh.position_m[t[1]]),
            glm::dvec3(mesh.position_m[t[2]])};
}

}  // namespace

Box3 boundsOf(const Mesh& mesh) {
    Box3 box;
    for (const glm::vec3& p : mesh.position_m) box.add(p);
    return box;
}

double areaOf_m2(const Mesh& mesh) {
    double twice_m2 = 0.0;
    for (const auto& t : mesh.triangle) {
        const Corners k = cornersOf(mesh, t);
        twice_m2 += glm::length(glm::cross(k.b - k.a, k.c - k.a));
    }
    return 0.5 * twice_m2;
}

// Divergence theorem with the field x / 3:  V = 1/3 sum over faces of a . (area vector)
//                                             = 1/6 sum of a . ((b - a) x (c - a)).
double volumeOf_m3(const Mesh& mesh) {
    double six_m3 = 0.0;
    for (const auto& t : mesh.triangle) {
        const Corners k = cornersOf(mesh, t);
        six_m3 += glm::dot(k.a, glm::cross(k.b - k.a, k.c - k.a));
    }
    return six_m3 / 6.0;
}

void findWhetherClosed(Mesh& mesh) {
    mesh.closed = isClosed(mesh.triangle, weldPositions(mesh.position_m, 0.0F));
}

}  // namespace keyfall
