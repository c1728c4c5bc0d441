#include "contact_sheet.h"

#include <algorithm>
#include <cmath>

#include "plot_canvas.h"

namespace keyfall {
namespace {

// A4 across at 150 dots an inch; letters of 18 dots are 8.6 points there.
constexpr int kWidth_px = 1754;
constexpr double kMargin = 60.0;
constexpr double kGap = 28.0;
constexpr double kLetter = 18.0;
constexpr double kLineHeight = 25.0;
constexpr double kTitle = 28.0;
/// Of the letters' height, the mean width of one in DejaVu Sans, a little more to be sure.
constexpr double kLetterWidth = 0.56;

/// Letters, not bytes: a byte 10xxxxxx goes on with the letter before it.
std::size_t lettersIn(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xc0U) != 0x80U;
    }));
}

/// Broken at spaces; a word alone may stick out.
std::vector<std::string> broken(const std::vector<std::string>& lines, double width) {
    const auto most = static_cast<std::size_t>(width / (kLetterWidth * kLetter));
    std::vector<std::string> out;
    for (const std::string& line : lines) {
        out.emplace_back();
        std::size_t from = 0;
        while (from < line.size()) {
            const std::size_t end = std::min(line.find(' ', from), line.size());
            const std::string word = line.substr(from, end - from);
            if (!out.back().empty() && lettersIn(out.back()) + 1 + lettersIn(word) > most)
                out.emplace_back(word);
            else
                out.back() += (out.back().empty() ? "" : " ") + word;
            from = end + 1;
        }
    }
    return out;
}

struct Layout {
    int columns = 1;
    double tileWidth = 0.0;
    double pictureHeight = 0.0;
    std::size_t lines = 0;
    double top = 0.0;
    double rowHeight() const {
        return pictureHeight + 10.0 + kLineHeight * static_cast<double>(lines) + kGap;
    }
};

Layout layoutOf(const ContactSheet& sheet) {
    Layout l;
    l.columns = sheetColumns(sheet.tiles.size());
    l.tileWidth = sheetPictureWidth_px(sheet.tiles.size());
    for (const SheetTile& tile : sheet.tiles) {
        const Srgb8Image& p = tile.picture;
        if (p.width_px > 0)
            l.pictureHeight = std::max(l.pictureHeight, l.tileWidth * p.height_px / p.width_px);
        l.lines = std::max(l.lines, broken(tile.lines, l.tileWidth).size());
    }
    // An upright picture fills no more than a square; nothing but patches: two to three.
    l.pictureHeight =
        l.pictureHeight > 0.0 ? std::min(l.pictureHeight, l.tileWidth) : l.tileWidth * 2.0 / 3.0;
    l.top = kMargin + kTitle + 14.0 + kLineHeight * static_cast<double>(sheet.remarks.size()) + 8.0;
    return l;
}

void drawTile(Canvas& canvas, const SheetTile& tile, const Layout& l, glm::dvec2 corner) {
    const Srgb8Image& p = tile.picture;
    if (p.width_px > 0) {
        const double scale = std::min(l.tileWidth / p.width_px, l.pictureHeight / p.height_px);
        const glm::dvec2 size(scale * p.width_px, scale * p.height_px);
        canvas.fittedPicture(
            corner + glm::dvec2(0.5 * (l.tileWidth - size.x), 0.5 * (l.pictureHeight - size.y)), p,
            size);
    } else {
        canvas.fill(corner, {l.tileWidth, l.pictureHeight}, 0.9);
    }
    double y = corner.y + l.pictureHeight + 10.0 + 0.5 * kLineHeight;
    const double darkest = 0.0, dark = 0.25;
    const std::size_t nameLines =
        tile.lines.empty() ? 0 : broken({tile.lines[0]}, l.tileWidth).size();
    const auto lines = broken(tile.lines, l.tileWidth);
    for (std::size_t i = 0; i < lines.size(); ++i, y += kLineHeight)
        canvas.text({corner.x, y}, lines[i], kLetter, Anchor::start,
                    i < nameLines ? darkest : dark);
}

}  // namespace

int sheetColumns(std::size_t tiles) {
    if (tiles <= 1) return 1;
    if (tiles <= 4) return 2;
    if (tiles <= 9) return 3;
    return tiles <= 24 ? 4 : 5;
}

int sheetPictureWidth_px(std::size_t tiles) {
    const int columns = sheetColumns(tiles);
    return static_cast<int>((kWidth_px - 2.0 * kMargin - kGap * (columns - 1)) / columns);
}

void writeContactSheet(const ContactSheet& sheet, const std::filesystem::path& file) {
    const Layout l = layoutOf(sheet);
    const auto foot = broken(sheet.foot, kWidth_px - 2.0 * kMargin);
    const auto rows = (sheet.tiles.size() + static_cast<std::size_t>(l.columns) - 1) /
                      static_cast<std::size_t>(l.columns);
    const double bottom = l.top + l.rowHeight() * static_cast<double>(rows);
    Canvas canvas(file, kWidth_px,
                  static_cast<int>(std::ceil(
                      bottom + kLineHeight * static_cast<double>(foot.size()) + kMargin)));
    canvas.text({kMargin, kMargin + 0.5 * kTitle}, sheet.title, kTitle);
    double y = kMargin + kTitle + 14.0 + 0.5 * kLineHeight;
    for (const std::string& remark : sheet.remarks) {
        canvas.text({kMargin, y}, remark, kLetter, Anchor::start, 0.25);
        y += kLineHeight;
    }
    for (std::size_t i = 0; i < sheet.tiles.size(); ++i) {
        const auto column = static_cast<double>(i % static_cast<std::size_t>(l.columns));
        const auto row = static_cast<double>(i / static_cast<std::size_t>(l.columns));
        drawTile(canvas, sheet.tiles[i], l,
                 {kMargin + column * (l.tileWidth + kGap), l.top + row * l.rowHeight()});
    }
    for (std::size_t i = 0; i < foot.size(); ++i)
        canvas.text({kMargin, bottom + kLineHeight * (static_cast<double>(i) + 0.5)}, foot[i],
                    kLetter, Anchor::start, 0.25);
    canvas.write();
}

}  // namespace keyfall
