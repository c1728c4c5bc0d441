// The picture as PNG, 8-bit sRGB, with the settings in text chunks. Not here: what the settings
// are.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "renderer/photograph/view.h"

namespace keyfall {

/// A text chunk. Keyword: 1-79 Latin-1 characters (PNG, third edition, 11.3.3); text: UTF-8.
struct PngText {
    std::string keyword;
    std::string text;
};

/// Writes `image` with an sRGB chunk (rendering intent relative colorimetric: codes are the light,
/// not a rendering for a device), gAMA and cHRM as the standard recommends beside it, and a tEXt
/// chunk for each text in ASCII, iTXt for one that is not. No time stamp: same picture, same bytes.
/// Throws WriteError; then no file is left.
void writePng(const std::filesystem::path& path, const Srgb8Image& image,
              const std::vector<PngText>& texts);

}  // namespace keyfall
