// MTL files into Materials. Not here: which material a face has (obj_raw.h), scene materials.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "scene/material.h"

namespace keyfall {

/// The materials of the MTL files `names` (as an OBJ writes them, beside `objFile`), by name; the
/// first of a name wins. A missing file or texture gives a warning and a default; a number that is
/// none throws ObjError.
///
/// How an MTL material is taken:
///   metal    Pm >= 0.5, reflectance at normal incidence Kd
///   glass    d <= 0.5, or illum 4, 6, 7, 9 with d < 1 or a Tf above 0; Tf = what 1 cm lets pass
///   plastic  Pr given, or Ks above 0; ior Ni (1.5 where Ni is missing or not above 1)
///   diffuse  everything else; reflectance Kd (linear Rec. 709), 0.18 where Kd is missing
/// Roughness: Pr; without Pr from the shininess as alpha = sqrt(2 / (Ns + 2)); without both 0.5
/// (glass: 0). Pr missing is not Pr 0: it makes no mirror.
std::map<std::string, Material> readMtl(const std::vector<std::string>& names,
                                        const std::filesystem::path& objFile,
                                        std::vector<std::string>& warnings);

}  // namespace keyfall
