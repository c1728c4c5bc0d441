// Which pixels are clipped, by what and by which light: one verdict a pixel. Not here: shares of the
// picture and of the product (clipping.h).
#pragma once

#include <cstdint>
#include <vector>

#include "renderer/film/film.h"
#include "renderer/photograph/exposure.h"

namespace keyfall {

enum class Clipped : std::uint8_t {
    no,
    diffuse,   ///< clipped even without the specular highlight
    specular,  ///< clipped by its specular highlight
};

/// Flat arrays, one value a pixel.
struct ClippedPixels {
    std::vector<Clipped> kind;           ///< a channel at kPictureClip or above
    std::vector<std::uint8_t> raw;       ///< 1: a channel at kRawClip or above
    std::vector<std::uint32_t> layer;    ///< clipped pixels: the strongest layer (luminance)
};

/// `image` is the straight picture of `film` in this very mix, before any view. A pixel without samples
/// is not clipped. Throws std::logic_error when picture or mix are another film's.
ClippedPixels clippedPixels(const Film& film, const std::vector<LayerMix>& mix, const LinearImage& image);

}  // namespace keyfall
