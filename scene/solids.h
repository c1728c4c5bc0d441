// Simple solids as meshes: table tops, walls, sweeps, plinths, cards. In metres, own axes.
#pragma once

#include "scene/frame.h"
#include "scene/mesh.h"

namespace keyfall {

/// Solids stand on y = 0 with the middle of their footprint at the origin.
Mesh boxMesh(glm::vec3 size_m);
Mesh cylinderMesh(float diameter_m, float height_m);   ///< smooth side, sharp rims
Mesh sphereMesh(float diameter_m);                     ///< smooth; chord error under 1e-4 of radius
/// A thin rectangle centred on `centre`, facing frame.z, width along x; one quad.
Mesh sheetMesh(glm::vec2 size_m, glm::vec3 centre_m, const Frame& frame);
/// One sheet from the table's front edge (z = front), level, through an arc of `radius`, up to
/// `height`. `back`: how far the upright part stands behind the origin, at z = -|back|.
Mesh sweepMesh(float width_m, float front_m, float back_m, float height_m, float radius_m);
/// A closed box seen from inside (normals inward); slots: 0 walls, 1 ceiling, 2 floor.
Mesh roomMesh(float sizeX_m, float sizeZ_m, float height_m, float floorAt_m);

/// position' = frame.toWorld(position) + at; normals turn with it.
void place(Mesh& mesh, const Frame& frame, glm::vec3 at_m);

}  // namespace keyfall
