// Rays, distances and insides of meshes by plain loops over all triangles: a scene has a handful of
// probes, so no search structure is needed. Not here: rendering's rays (renderer/stage).
#pragma once

#include <optional>
#include <vector>

#include "scene/scene.h"

namespace keyfall {

/// A point of a mesh. Another name than the stage's, which knows materials: one program holds both.
struct MeshHit {
    const Item* item = nullptr;
    glm::vec3 at_m{0.0F};
    glm::vec3 normal{0.0F};   ///< geometric, unit, on the triangle's front side
    double distance_m = 0.0;  ///< along the ray, or from the point
};

/// First triangle met by the ray, from either side. `direction` is unit.
/// Source: Moller & Trumbore, "Fast, minimum storage ray-triangle intersection", 1997.
std::optional<MeshHit> firstHit(const std::vector<const Item*>& items, glm::vec3 origin_m,
                                     glm::vec3 direction);

/// The surface point nearest to `point_m`, when it is nearer than `within_m`.
std::optional<MeshHit> nearestSurface(const std::vector<const Item*>& items, glm::vec3 point_m,
                                           double within_m);

/// Whether the point lies inside a closed mesh wound outward: the solid angles of its triangles add
/// up to 4 pi inside and to 0 outside. Source: van Oosterom & Strackee, "The solid angle of a plane
/// triangle", 1983. A room, wound inward, holds nothing by this rule. Open meshes: false.
bool isInside(const Mesh& mesh, glm::vec3 point_m);

}  // namespace keyfall
