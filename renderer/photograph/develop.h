// From the film's transfer layers to what reached the camera as XYZ. No ray is traced here: power,
// colour and on/off of a light are a multiplication. Not here: exposure and white (exposure.h).
#pragma once

#include <glm/glm.hpp>
#include <vector>

#include "renderer/film/film.h"

namespace keyfall {

/// One value per pixel, rows from the top, row by row.
struct PixelImage {
    int width_px = 0;
    int height_px = 0;
    std::vector<glm::dvec3> pixel;

    const glm::dvec3& at(int x, int y) const {
        return pixel[static_cast<std::size_t>(y) * static_cast<std::size_t>(width_px) +
                     static_cast<std::size_t>(x)];
    }
};

/// CIE 1931 XYZ reaching the camera, summed over the exposure: cd*s/m^2, Y the luminance.
struct XyzImage : PixelImage {};

/// All layers of a mix:  XYZ = sum_l amount_l * sum_b T_l[b] * bandXYZ_l[b].
///
/// `mix` has one entry per layer of the film. The caller has put strength and flux into the
/// amounts, and for continuous lights, ambient and glow the shutter time: lm*s, lx*s, s.
/// A pixel without samples is black. The same bytes for any number of threads.
XyzImage develop(const Film& film, const std::vector<LayerMix>& mix);

/// One layer alone, as if every other light were off.
XyzImage developLayer(const Film& film, std::size_t layer, const LayerMix& mix);

}  // namespace keyfall
