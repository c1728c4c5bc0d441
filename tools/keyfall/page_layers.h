// Pictures and light layers as the page carries them: JPEG as data URI, layers as packed logarithms. Not
// here: what else the page holds (page_json.h), how it unpacks them (tools/page/decode.js).
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "renderer/photograph/exposure.h"
#include "renderer/photograph/view.h"

namespace keyfall {

/// One layer's linear picture values, three codes a pixel: 0 for none, else 1 + round(64 (log2 v + 14)).
/// So a code is right to 1/128 stop, from 2^-14 of white (a quarter of the first sRGB step) up.
struct LayerCodes {
    int width_px = 0;
    int height_px = 0;
    std::vector<std::uint16_t> code;
};

LayerCodes layerCodes(const LinearImage& layer);
/// Means of 2 x 2 pixels, of the light and not of the codes. An odd last row or column stands alone.
LayerCodes halved(const LayerCodes& layer);
Srgb8Image halved(const Srgb8Image& image);

/// Green as it is, red and blue less green (noise is grey, so little is left), each less its left neighbour,
/// modulo 65536; for each of the three planes the upper bytes, then the lower ones; zlib; base64.
std::string packed(const LayerCodes& layer);

/// JPEG, every pixel with its own colour (4:4:4), as "data:image/jpeg;base64,...".
std::string jpegUri(const Srgb8Image& image, int quality = 90);

std::string base64(const std::uint8_t* bytes, std::size_t count);

}  // namespace keyfall
