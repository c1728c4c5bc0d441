// MTL text made safe for the library: numbers checked, absent fields marked. Not here: meaning.
#pragma once

#include <filesystem>
#include <istream>
#include <string>
#include <vector>

namespace keyfall {

/// The value that an absent field has after tinyobj::LoadMtl has read the checked text. The library
/// itself sets absent fields to 0, which for a roughness is a mirror.
inline constexpr float kAbsent = -1.0F;

/// Text for tinyobj::LoadMtl: only lines it needs, colours with three numbers, one number standing
/// for grey as the format says. Throws ObjError with `name` and the line for what is no number.
std::string checkedMtl(std::istream& in, const std::string& name,
                       std::vector<std::string>& warnings);

}  // namespace keyfall
