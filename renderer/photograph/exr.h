// The layers as OpenEXR, one per light, in absolute luminance. Not here: the view or white balance:
// the file holds light, not a picture.
//
// What the numbers are. Channels R, G, B hold the sum and light.NAME.R/G/B (ambient.R/G/B,
// glow.R/G/B) each layer, as mixed, in linear Rec. 709 primaries with white D65 (the attribute
// `chromaticities`). They are the light that reached the camera during the exposure, without white
// balance: for every pixel
//     luminous energy  Q = (0.2126 R + 0.7152 G + 0.0722 B) * keyfallWhite_cdsm2   [cd*s/m^2]
//     mean luminance   L = Q / expTime                                             [cd/m^2]
//     picture value        (R, G, B) * keyfallPictureFactor, before white balance
// `whiteLuminance` is the mean luminance of (1, 1, 1), keyfallWhite_cdsm2 / expTime: OpenEXR's own
// attribute, so that a reader who knows nothing of flash still gets nits. `adoptedNeutral` is the
// white the camera is set to. keyfallWhite_cdsm2 is a power of two, chosen so that 18 % grey lies
// within half a stop of 0.18, where half floats resolve 0.0007 stop. The same text is in the
// attribute `comments`.
#pragma once

#include <cstddef>
#include <filesystem>
#include <glm/glm.hpp>
#include <string>
#include <vector>

#include "renderer/film/film.h"

namespace keyfall {

/// What an EXR says about the exposure.
struct ExrSettings {
    double pictureFactor = 1.0;  ///< linear picture value per cd*s/m^2 (exposure.h)
    double shutter_s = 1.0;
    double aperture = 1.0;  ///< exact f-number
    double iso = 100.0;
    double focus_m = 1.0;
    glm::dvec3 white{0.9505, 1.0, 1.0891};  ///< the white the camera is set to, XYZ
    std::string title;                      ///< scene and version, goes first into `comments`
};

/// What writeExr did to the numbers.
struct ExrResult {
    double white_cdsm2 = 1.0;  ///< luminous energy that (1, 1, 1) stands for, a power of two
    std::size_t clamped = 0;   ///< values beyond +-65504 (the largest half) cut to it
};

/// Half float, ZIP (lossless), scan lines from the top.
/// Throws WriteError; then no file is left.
ExrResult writeExr(const std::filesystem::path& path, const Film& film,
                   const std::vector<LayerMix>& mix, const ExrSettings& settings);

/// The power of two nearest to 1 / pictureFactor in stops: what (1, 1, 1) is given to stand for.
double exrWhite_cdsm2(double pictureFactor);

}  // namespace keyfall
