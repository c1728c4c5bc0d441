// The sheet that a map is drawn on: the picture in flat paints, a legend beside it. Not here: which
// paint means what (maps_stops.cpp, maps_clipped.cpp, maps_mirrors.cpp).
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "renderer/meter/visible.h"
#include "renderer/photograph/exposure.h"

namespace keyfall {

using Rgb8 = std::array<std::uint8_t, 3>;

/// Lines over a colour: they tell areas apart where colours alone would not do.
enum class Hatch { none, stripes, lattice };

struct Paint {
    Rgb8 colour{};
    Hatch hatch = Hatch::none;
    Rgb8 line{};
};

struct LegendLine {
    std::string text;               ///< columns are parted by tabs
    std::vector<Paint> swatches;  ///< none: a heading or a remark
};

struct MapSheet {
    std::string title;
    std::string subtitle;
    int width_px = 0;   ///< of the picture; a small one is drawn larger, each pixel a square
    int height_px = 0;
    std::function<Paint(std::size_t pixel)> paintAt;
    std::vector<LegendLine> legend;
};
MapSheet sheetOf(const LinearImage& picture, const std::string& title, const std::string& subtitle);
/// As PNG. Throws WriteError.
void writeSheet(const MapSheet& sheet, const std::string& file);

/// The picture itself, dimmed and in greys, so that paints stand out.
Paint dimmed(const glm::dvec3& linear);

/// Lights and cards have a colour each, the same in every map; table, backdrop, room, products and the
/// dark have muted ones.
Rgb8 colourOfObject(const Scene& scene, std::uint32_t object);
Paint striped(Rgb8 colour);

}  // namespace keyfall
