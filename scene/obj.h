// OBJ + MTL files into a Mesh and Materials. Not here: where the product stands (placement.h).
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "scene/material.h"
#include "scene/mesh.h"

namespace keyfall {

/// A mesh in its file's own units and axes.
struct ObjFile {
    Mesh mesh;                            ///< normals always filled: the file's, or made from creases
    std::vector<std::string> slotName;    ///< per Mesh slot: MTL material name, else group, else ""
    std::vector<std::string> slotGroup;   ///< per Mesh slot: group or object name, or ""
    std::vector<Material> slotMaterial;   ///< per Mesh slot, from the MTL; a default where it has none
    std::vector<bool> slotHasMaterial;    ///< false where `slotMaterial` is the default
    std::vector<std::string> warnings;    ///< missing MTL or texture, degenerate triangles dropped...
};

struct ObjError {
    std::string text;                     ///< what was found; what is allowed; a likely fix
};

/// Reads an OBJ. `crease_rad`: where the file has no normals (and no smoothing groups say
/// otherwise), edges sharper than this stay sharp; 0 = flat facets.
/// Guarantees: every polygon of n corners gives n-2 triangles, indices in range, no NaN, at least
/// one triangle, degenerate triangles dropped (counted in a warning).
/// Throws ObjError for a file that cannot be used. Memory: see the benchmark, under 600 B/triangle.
ObjFile readObj(const std::filesystem::path& file, float crease_rad);

}  // namespace keyfall
