#include "maps_sheet.h"

#include <algorithm>
#include <sstream>

#include "plot_canvas.h"
#include "renderer/photograph/view.h"

namespace keyfall {
namespace {

constexpr int kMargin = 24;
constexpr int kTop = 76;
constexpr int kLegendWidth = 400;
constexpr int kColumn = 130;  ///< of the legend
constexpr int kRow = 26;
constexpr int kSwatch = 30;
constexpr int kLeastWidth = 480;

bool isLine(Hatch hatch, int x, int y) {
    if (hatch == Hatch::none) return false;
    const bool rising = (x + y) % 8 < 2;
    return rising || (hatch == Hatch::lattice && (x - y + (1 << 20)) % 8 < 2);
}

Rgb8 inkAt(const Paint& paint, int x, int y) {
    return isLine(paint.hatch, x, y) ? paint.line : paint.colour;
}

Srgb8Image blank(int width_px, int height_px) {
    Srgb8Image image;
    image.width_px = width_px;
    image.height_px = height_px;
    image.rgb.resize(3U * static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px));
    return image;
}

/// Paints side by side, each `zoom` pixels of the sheet wide and high.
Srgb8Image painted(int width_px, int height_px, int zoom, const std::function<Paint(std::size_t)>& paintAt) {
    Srgb8Image image = blank(width_px * zoom, height_px * zoom);
    std::size_t at = 0;
    for (int y = 0; y < image.height_px; ++y)
        for (int x = 0; x < image.width_px; ++x) {
            const auto pixel = static_cast<std::size_t>(y / zoom) * static_cast<std::size_t>(width_px) + static_cast<std::size_t>(x / zoom);
            const Rgb8 ink = inkAt(paintAt(pixel), x, y);
            for (const std::uint8_t v : ink) image.rgb[at++] = v;
        }
    return image;
}

void drawLegend(Canvas& canvas, const std::vector<LegendLine>& legend, glm::dvec2 at) {
    constexpr Pen kFrame{0.45, 1.0, 0.0};
    for (const LegendLine& line : legend) {
        double x = at.x;
        for (const Paint& paint : line.swatches) {
            const glm::dvec2 corner(x, at.y - 0.5 * (kRow - 6));
            canvas.picture(corner, painted(1, 1, kSwatch, [&](std::size_t) { return paint; }), {kSwatch, kRow - 6});
            const glm::dvec2 end = corner + glm::dvec2(kSwatch, kRow - 6);
            canvas.line({corner, {end.x, corner.y}, end, {corner.x, end.y}, corner}, kFrame);
            x += kSwatch + 8;
        }
        std::istringstream columns(line.text);
        const double first = line.swatches.empty() && line.text.find('\t') != std::string::npos ? kSwatch + 8 : 0;
        x = std::max(x, at.x + first);
        for (std::string column; std::getline(columns, column, '\t'); x += kColumn)
            canvas.text({x, at.y}, column, 14.0, Anchor::start, line.swatches.empty() ? 0.3 : 0.0);
        at.y += kRow;
    }
}

// Eight hues whose lightness differs as well (L* 62, 55, 82, 40, 74, 48, 72, 35): neighbours stay apart
// for eyes that confuse red and green.
constexpr std::array<Rgb8, 8> kHues{{{237, 115, 35}, {25, 138, 209}, {228, 204, 87}, {143, 64, 136},
                                     {35, 202, 194}, {64, 128, 63}, {237, 151, 190}, {138, 58, 20}}};

/// After eight the hues come again, half as strong.
Rgb8 hue(std::size_t number) {
    Rgb8 colour = kHues[number % kHues.size()];
    if (number / kHues.size() % 2 == 1)
        for (std::uint8_t& v : colour) v = static_cast<std::uint8_t>((v + 255) / 2);
    return colour;
}

}  // namespace

void writeSheet(const MapSheet& sheet, const std::string& file) {
    const int zoom = std::max(1, (kLeastWidth + sheet.width_px - 1) / sheet.width_px);
    const Srgb8Image map = painted(sheet.width_px, sheet.height_px, zoom, sheet.paintAt);
    const int legend_px = kRow * static_cast<int>(sheet.legend.size());
    Canvas canvas(file, kMargin + map.width_px + kMargin + kLegendWidth, kTop + std::max(map.height_px, legend_px) + kMargin);
    canvas.text({kMargin, 28.0}, sheet.title, 19.0);
    canvas.text({kMargin, 54.0}, sheet.subtitle, 14.0, Anchor::start, 0.3);
    canvas.picture({kMargin, kTop}, map, {map.width_px, map.height_px});
    drawLegend(canvas, sheet.legend, {2.0 * kMargin + map.width_px, kTop + 0.5 * kRow});
    canvas.write();
}

MapSheet sheetOf(const LinearImage& picture, const std::string& title, const std::string& subtitle) {
    return {title, subtitle, picture.width_px, picture.height_px, {}, {}};
}

Paint dimmed(const glm::dvec3& linear) {
    const double y = glm::dot(linear, glm::dvec3(0.2126, 0.7152, 0.0722));
    const auto code = static_cast<std::uint8_t>(36 + srgbCodes(glm::dvec3(y))[0] * 110 / 255);
    return {{code, code, code}, Hatch::none, {}};
}

Rgb8 colourOfObject(const Scene& scene, std::uint32_t object) {
    if (object == kNoObject) return {20, 20, 26};
    if (const Item* item = itemOf(scene, object)) {
        switch (item->kind) {
            case ItemKind::table: return {112, 104, 96};
            case ItemKind::backdrop: return {164, 170, 178};
            case ItemKind::room: return {196, 192, 186};
            case ItemKind::product: return object % 2 == 0 ? Rgb8{226, 226, 226} : Rgb8{202, 206, 198};
            case ItemKind::block: return {138, 138, 146};
            default: break;
        }
    }
    std::size_t number = 0;
    for (std::uint32_t o = 0; o < object; ++o) number += isGear(scene, o) ? 1U : 0U;
    return hue(number);
}

Paint striped(Rgb8 colour) {
    const bool light = colour[0] * 2 + colour[1] * 5 + colour[2] > 8 * 110;
    return {colour, Hatch::stripes, light ? Rgb8{40, 40, 40} : Rgb8{235, 235, 235}};
}

}  // namespace keyfall
