// Normals for corners that the file gives none. Not here: reading the file's own (obj_raw.h).
#pragma once

#include <cstdint>
#include <span>

#include "scene/obj_raw.h"

namespace keyfall {

/// Unit normal along the winding; zero for a triangle without area.
glm::dvec3 faceNormal(const RawObj& obj, const RawObj::Triangle& t);

/// Gives every corner without a normal one, appended to obj.normal. Faces of one smoothing group
/// share normals at a common place whatever their angle; faces with smoothing off stay flat; where
/// the file says nothing, faces join across edges not sharper than `crease_rad`. Each normal is the
/// mean of its faces weighted by their corner angle (Thuermer & Wuethrich, "Computing Vertex
/// Normals from Polygonal Facets", JGT 3(1), 1998), so that it does not depend on how a polygon was
/// split. `weld`: weldPositions of obj.position. Not checked: triangles without area (drop them
/// before).
void fillNormals(RawObj& obj, std::span<const std::uint32_t> weld, float crease_rad);

}  // namespace keyfall
