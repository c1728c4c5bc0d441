// Where and by how many stops one variant's picture is brighter than another's, and where the difference
// is no more than the noise. Not here: the sheet it is drawn on (maps_sheet.h).
#pragma once

#include <array>
#include <string>
#include <vector>

#include "compare_report.h"
#include "renderer/film/film.h"

namespace keyfall {

/// A picture's luminance by replicate, as the camera exposes it: what a difference needs of a film.
/// Equal seeds give a pixel's replicates equal paths in every variant.
struct PictureReplicates {
    int width_px = 0, height_px = 0;
    std::vector<std::array<float, kPictureReplicates>> value;  ///< linear picture value
};

/// `mix` is as the scene is set. Where the curtain covers the flash, the picture is without it.
PictureReplicates replicatesOf(const Scene& scene, const Film& film, const std::vector<LayerMix>& mix);

struct PixelDifference {
    float stops = 0.0F;     ///< log2(to / from); infinite where one of them is black, 0 where both are
    bool isNoise = false;   ///< within the 95 % interval of no difference
};

/// Pixel by pixel. The standard error comes from the four differences between replicates, pooled over 3 x 3
/// pixels as the noise of a picture is (film.h): 27 degrees of freedom, Student's t 2.05. Requires equal
/// sizes.
std::vector<PixelDifference> differencesOf(const PictureReplicates& from, const PictureReplicates& to);

DifferenceShares sharesOf(const std::vector<PixelDifference>& pixels);

/// As PNG, whole or not at all. Throws WriteError.
void writeDifferenceMap(const PictureReplicates& from, const std::string& fromName, const std::vector<PixelDifference>& pixels,
                        const std::string& toName, const std::string& subtitle, const std::string& file);

}  // namespace keyfall
