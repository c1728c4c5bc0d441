// From a Film to the picture file and the layers. Not here: the arithmetic (renderer/photograph).
#pragma once

#include <filesystem>

#include "renderer/film/film.h"
#include "renderer/photograph/flash_cut.h"
#include "renderer/photograph/noise.h"
#include "renderer/photograph/png.h"
#include "report.h"

namespace keyfall {

/// The settings, so that the set can be rebuilt from the picture alone. Requires report.picture.
std::vector<PngText> settingsTexts(const Report& report);

/// A film as the camera would record it.
struct ExposedFilm {
    LinearImage image;  ///< straight
    ElectronImage electrons;
    ClippedPixels clipped;
};
/// The lights as the scene has them, without flash where the curtain covers it. `cut` says which part of
/// the frame the film is.
ExposedFilm exposeFilm(const Scene& scene, const Film& film, glm::dvec3 white, const FlashCut& cut);

/// Writes the PNG, the EXR where `exr` is not empty, the maps where `maps` is not (maps.h); fills
/// report.clipping, report.fullPixels and report.exrClamped. Requires report.picture.
/// Throws WriteError; each file is whole or absent.
void photograph(const Stage& stage, const Film& film, Report& report, const std::filesystem::path& png,
                const std::string& exr, const std::string& maps);

}  // namespace keyfall
