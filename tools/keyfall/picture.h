// From a Film to the picture file and the layers. Not here: the arithmetic (renderer/photograph).
#pragma once

#include <filesystem>

#include "renderer/film/film.h"
#include "report.h"

namespace keyfall {

/// Writes the PNG, the EXR where `exr` is not empty, the maps where `maps` is not (maps.h); fills report.clipping and
/// report.exrClamped. Requires report.picture, and report.seen for maps.
/// Throws WriteError; each file is whole or absent.
void photograph(const Film& film, Report& report, const std::filesystem::path& png,
                const std::string& exr, const std::string& maps);

}  // namespace keyfall
