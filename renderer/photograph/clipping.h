// How much of the picture and of the product is clipped, by what and by which light. Not here: what
// the picture's values are (exposure.h).
#pragma once

#include <string>
#include <vector>

#include "renderer/film/film.h"
#include "renderer/photograph/clipped_pixels.h"

namespace keyfall {

/// One layer's part of the clipped product area.
struct ClippingLight {
    std::size_t layer = 0;  ///< into Film::layers()
    std::string name;
    double share = 0.0;
};

/// Shares, 0..1. `picture` and `raw` are of the whole picture, the rest of the area that products
/// cover in it; diffuse + specular = product, and so do the lights together.
struct ClippingShares {
    double picture = 0.0;  ///< a channel at kPictureClip or above
    double raw = 0.0;      ///< a channel at kRawClip or above
    double product = 0.0;
    double diffuse = 0.0;   ///< clipped even without the specular highlight
    double specular = 0.0;  ///< clipped by its specular highlight
    /// Largest contributor (luminance) of each clipped pixel; layers that never are, are left out.
    std::vector<ClippingLight> byLight;
    /// Share of the picture that products cover. 0: no product in frame, the product's figures
    /// above are then no readings (a report says null).
    double productCoverage = 0.0;
};

/// `pixels` are those of `film`, as clippedPixels() has them.
ClippingShares clippingShares(const Film& film, const ClippedPixels& pixels);
/// `image` is the straight picture of `film` in this very mix, before any view.
ClippingShares clippingShares(const Film& film, const std::vector<LayerMix>& mix,
                              const LinearImage& image);

}  // namespace keyfall
