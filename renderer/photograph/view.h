// The picture's curve and its 8 bits. Not here: files (png.h); what is clipped (clipping.h).
#pragma once

#include <array>
#include <cstdint>
#include <glm/glm.hpp>
#include <vector>

#include "renderer/photograph/exposure.h"
#include "scene/scene.h"

namespace keyfall {

/// Where the soft view leaves the straight one: 1.7 stops above 18 % grey, 0.6 under paper white.
inline constexpr double kSoftKnee = 0.6;

/// The soft view's shoulder for one value:
///     x <= k:  x                              (identity)
///     x >  k:  k + (1-k) tanh((x-k)/(1-k))    (slope 1 and no bend at the knee, limit 1)
/// tanh because its second derivative is 0 at the knee: no visible line on a smooth backdrop. With
/// k = 0.6 the half stop that the raw holds above white (1 to 1.41) spreads over sRGB 243-253.
double softShoulder(double linear);

/// The soft view of a colour: all channels are scaled by what the shoulder does to the largest.
/// Not per channel: that turns an orange label yellow on its way to white, and a brand's colour
/// has to keep its hue. Not by luminance: a saturated red has little and would still clip hard.
glm::dvec3 softView(glm::dvec3 linear);

/// 8-bit sRGB, three bytes a pixel, rows from the top.
struct Srgb8Image {
    int width_px = 0;
    int height_px = 0;
    std::vector<std::uint8_t> rgb;
};

/// Straight: linear to sRGB, limited to 0..1, each value rounded to the nearest code, no dither, so
/// that a pixel picked from the picture is the report's figure. Bands do not show there: noise of
/// 0.01 stop is already 0.4 codes at 18 % grey and 0.75 at white, which breaks up any step.
/// Soft: the shoulder, and an ordered 8x8 dither of less than half a code (a fixed pattern, never
/// random), for the eye alone. It moves no value by as much as one code and keeps whole codes.
Srgb8Image renderView(const LinearImage& image, View view);

/// Codes of one linear colour, straight view, never dithered: what reports print.
std::array<int, 3> srgbCodes(glm::dvec3 linear);
/// The same of a patch's mean XYZ (cd*s/m^2), such as a background reading.
std::array<int, 3> srgbCodesOfXyz(glm::dvec3 xyz_cdsm2, double factor, glm::dvec3 white);
/// Mean linear colour of the pixels [x0, x1) x [y0, y1), cut to the picture; 0 where nothing is
/// left. The mean is taken before the curve: codes of a mean, never a mean of codes.
glm::dvec3 meanOfPatch(const LinearImage& image, int x0, int y0, int x1, int y1);

}  // namespace keyfall
