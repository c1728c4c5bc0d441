// One [gel.NAME] table as a filter; the same for the shipped library and for a scene file.
// Not here: what a filter does to light (gel.h), which lamp wears it (read_gels.h).
#pragma once

#include <filesystem>
#include <string>

#include "scene/gel.h"
#include "scene/read_value.h"

namespace keyfall {

/// What a gel is: one of
///   mired_shift with transmittance (luminous, 0..1) under a lamp of designed_for (K);
///   green (hundredths of density, + passes green, - stops it) with transmittance, likewise;
///   stops, a neutral one; transmittance alone: a number (neutral) or a CSV (nm, 0..1) in `directory`.
/// Throws DefinitionError (library_definitions.h), or CsvError about a file.
Gel gelFrom(const std::string& name, const Value& table, const std::filesystem::path& directory);

}  // namespace keyfall
