// A contact sheet: small pictures in a grid, lines of text under each, to be read on A4. For any
// command that shows several forms of a set. Not here: where the pictures come from.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "renderer/photograph/view.h"

namespace keyfall {

struct SheetTile {
    Srgb8Image picture;  ///< fitted to the tile; empty: a grey patch, nothing could be rendered
    std::vector<std::string>
        lines;  ///< the first is the tile's name; long ones are broken at spaces
};

struct ContactSheet {
    std::string title;
    std::vector<std::string> remarks;  ///< under the title
    std::vector<SheetTile> tiles;
    std::vector<std::string> foot;  ///< under the last row
};

inline constexpr std::size_t kMostTiles = 100;

/// How many pictures stand side by side, and how wide each is drawn, in pixels.
int sheetColumns(std::size_t tiles);
int sheetPictureWidth_px(std::size_t tiles);

/// As .png or .svg, whole or not at all. Throws WriteError; CommandLineError for another ending.
void writeContactSheet(const ContactSheet& sheet, const std::filesystem::path& file);

}  // namespace keyfall
