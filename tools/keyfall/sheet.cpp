#include "sheet.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <sstream>

#include "plot_canvas.h"
#include "report_edges.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

constexpr int kWidth = 1600;
constexpr int kOneTile = 1100;  ///< a picture that is alone
constexpr int kMargin = 44;
constexpr int kGap = 28;
constexpr double kTitle = 34.0, kName = 23.0, kText = 17.0;
constexpr double kLine = 25.0;        ///< from line to line
constexpr double kLabelWidth = 112.0;
constexpr double kPale = 0.35;

using Strings = std::vector<std::string>;

struct Line {
    std::string label;  ///< empty: goes on from the line above, or a caption
    std::string text;
    bool caption = false;
};

struct Tile {
    Srgb8Image picture;
    std::string name;
    std::vector<Line> lines;
};

/// What is told of a tile: first the caption, then the figures.
std::size_t captionLines(const Tile& tile) {
    return static_cast<std::size_t>(std::count_if(tile.lines.begin(), tile.lines.end(), [](const Line& l) { return l.caption; }));
}

/// Four at most: with more the letters under a picture no longer find room.
int columnsFor(std::size_t tiles) {
    if (tiles <= 3) return static_cast<int>(tiles);
    if (tiles == 4) return 2;
    return tiles <= 9 ? 3 : 4;
}

int tileWidth(int columns) {
    return columns == 1 ? kOneTile : (kWidth - 2 * kMargin - (columns - 1) * kGap) / columns;
}
int sheetWidth(int columns) { return columns == 1 ? kOneTile + 2 * kMargin : kWidth; }

/// Words into lines no wider than `room`; a word that is wider by itself is cut between letters.
Strings wrapped(const Canvas& canvas, const std::string& text, double size, double room) {
    Strings lines(1);
    std::istringstream words(text);
    for (std::string word; words >> word;) {
        const std::string longer = lines.back().empty() ? word : lines.back() + " " + word;
        if (canvas.widthOf(longer, size) <= room) {
            lines.back() = longer;
            continue;
        }
        if (!lines.back().empty()) lines.emplace_back();
        for (std::size_t at = 0; at < word.size();) {
            std::size_t end = at + 1;
            while (end < word.size() && (static_cast<unsigned char>(word[end]) & 0xC0U) == 0x80U) ++end;
            if (!lines.back().empty() && canvas.widthOf(lines.back() + word.substr(at, end - at), size) > room) lines.emplace_back();
            lines.back() += word.substr(at, end - at);
            at = end;
        }
    }
    return lines;
}

void addRow(std::vector<Line>& rows, const std::string& label, const std::string& text) {
    if (!text.empty()) rows.push_back({label, text, false});
}

std::string lightText(const ShownVariant& v) {
    std::string text = compensationText(v.set->scene, v.compensation);
    for (const Compensation::Beyond& b : v.compensation.beyond)
        text += fmt::format("; {:.1f} stops {}", std::abs(b.stops), b.stops > 0.0 ? "more than this lamp has" : "less than its lowest power");
    return text;
}

/// A zero that rounding made negative is none.
double withoutSign(double stops) { return std::abs(stops) < 0.005 ? 0.0 : stops; }

std::string probeText(const Report& report, const std::string& name) {
    for (const ProbeReading& r : report.readings)
        if (r.name == name && r.aperture)
            return fmt::format("meter {}, picture {:+.2f}", apertureReading(r.aperture->value), withoutSign(r.pictureStopsOver->value));
    return "no reading";
}

std::string contrastText(const Report& report, const ContrastPair& pair) {
    const auto contrast = contrastOf(report, pair);
    if (!contrast) return {};
    return fmt::format("{:.2f} ± {:.2f} stops = {:.2g}:1", contrast->value, contrast->interval95.half(), std::exp2(contrast->value));
}

std::string backgroundText(const Report& report) {
    const ProbeReading* r = backgroundOf(report);
    if (r == nullptr) return {};
    const auto rgb = codesOf(report, *r);
    const double stops = r->pictureStopsOver->value;
    return fmt::format("{:.2f} {} 18 % grey, sRGB {} {} {}", std::abs(stops), stops < 0.0 ? "under" : "over", rgb[0], rgb[1], rgb[2]);
}

std::string edgeText(const ShownVariant& v) {
    const ShadowEdge* edge = mainEdge(v);
    if (edge == nullptr) return {};
    return fmt::format("{:.1f} mm, {}, at {:.0f} cm of throw ({})", 1e3 * edge->width10to90_m.value, wordOf(*edge), 1e2 * edge->throw_m,
                       v.set->scene.lights.at(edge->light).name);
}

std::string clippedText(const Report& report) {
    if (!report.clipping) return {};
    const bool product = report.clipping->productCoverage > 0.0;
    return fmt::format("{:.1f} % of the {}", 100.0 * (product ? report.clipping->product : report.clipping->picture), product ? "product" : "picture");
}

std::string changesText(const PlannedVariant& plan) {
    std::string text = plan.caption;
    for (const auto& [key, value] : plan.changes) text += fmt::format("{}{} {}", text.empty() ? "" : "; ", key, value);
    return text;
}

Tile tileOf(const CompareReport& report, const ShownVariant& v, int width) {
    Tile tile{scaledTo(v.picture, width), v.plan.name, {}};
    const Report& r = v.set->report;
    if (const std::string text = changesText(v.plan); !text.empty()) tile.lines.push_back({"", text, true});
    addRow(tile.lines, "light", lightText(v));
    if (!report.plan.equal.at.empty()) addRow(tile.lines, report.plan.equal.at, probeText(r, report.plan.equal.at));
    if (const auto pair = contrastPair(report)) addRow(tile.lines, "contrast", contrastText(r, *pair));
    addRow(tile.lines, "background", backgroundText(r));
    addRow(tile.lines, "edge", edgeText(v));
    addRow(tile.lines, "clipped", clippedText(r));
    return tile;
}

/// Every line broken where the tile ends.
void breakLines(const Canvas& canvas, Tile& tile) {
    std::vector<Line> broken;
    for (const Line& line : tile.lines) {
        const Strings label = wrapped(canvas, line.label, kText, kLabelWidth - 10.0);
        const Strings text = wrapped(canvas, line.text, kText, tile.picture.width_px - (line.caption ? 0.0 : kLabelWidth));
        for (std::size_t i = 0; i < std::max(label.size(), text.size()); ++i)
            broken.push_back({i < label.size() ? label[i] : "", i < text.size() ? text[i] : "", line.caption});
    }
    tile.lines = std::move(broken);
}

/// Figures of one row of tiles begin at one height, so that they are read across.
void alignFigures(std::vector<Tile>& tiles, std::size_t columns) {
    for (std::size_t first = 0; first < tiles.size(); first += columns) {
        const std::size_t end = std::min(tiles.size(), first + columns);
        std::size_t most = 0;
        for (std::size_t t = first; t < end; ++t) most = std::max(most, captionLines(tiles[t]));
        for (std::size_t t = first; t < end; ++t) {
            const std::size_t own = captionLines(tiles[t]);
            tiles[t].lines.insert(tiles[t].lines.begin() + static_cast<std::ptrdiff_t>(own), most - own, Line{"", "", true});
        }
    }
}

Strings headLines(const CompareReport& report) {
    const Scene& scene = report.shown.front().set->scene;
    const Camera& c = scene.camera;
    std::string how = exposureText(report);
    how[0] = how[0] == 'e' ? 'E' : how[0];
    if (report.shown.size() < report.plan.variants.size())
        how += fmt::format("; {} of {} variants were finished", report.shown.size(), report.plan.variants.size());
    how += fmt::format(". First picture: f/{:g}, {}, ISO {:g}, {:g} mm.",
                       c.aperture.asWritten, shutterText(c.shutter_s.asWritten), c.iso.asWritten, c.focalLength_m * 1e3);
    if (const auto pair = contrastPair(report)) how += fmt::format(" Contrast is of {} against {}.", pair->lit, pair->shadow);
    Strings lines = {how};
    for (const Warning& w : warningsOf(report))
        if (isOfExposure(w)) lines.push_back("Caution: " + w.text + ".");
    lines.push_back(
        fmt::format("Calculated pictures for planning, not photographs and not for a listing. They do not "
                    "replace a meter on set. "
                    "keyfall {}, seed {}, noise {:.2f} stop.",
                    KEYFALL_VERSION, report.seed, report.shown.front().set->report.picture->noise_stops));
    return lines;
}

double captionHeight(const Tile& tile) { return 44.0 + kLine * static_cast<double>(tile.lines.size()) + 26.0; }

void drawTile(Canvas& canvas, const Tile& tile, glm::dvec2 corner) {
    const glm::dvec2 size(tile.picture.width_px, tile.picture.height_px);
    canvas.picture(corner, tile.picture, size);
    double y = corner.y + size.y + 24.0;
    canvas.text({corner.x, y}, tile.name, kName);
    y += 8.0;
    for (const Line& line : tile.lines) {
        y += kLine;
        if (!line.label.empty()) canvas.text({corner.x, y}, line.label, kText, Anchor::start, kPale);
        canvas.text({corner.x + (line.caption ? 0.0 : kLabelWidth), y}, line.text, kText, Anchor::start, line.caption ? kPale : 0.0);
    }
}

/// Tops of the rows, and the end of the last one.
std::vector<double> rowsOf(const std::vector<Tile>& tiles, int columns, double top) {
    std::vector<double> tops = {top};
    for (std::size_t first = 0; first < tiles.size(); first += static_cast<std::size_t>(columns)) {
        double height = 0.0;
        for (std::size_t t = first; t < std::min(tiles.size(), first + static_cast<std::size_t>(columns)); ++t)
            height = std::max(height, tiles[t].picture.height_px + captionHeight(tiles[t]));
        tops.push_back(tops.back() + height);
    }
    return tops;
}

}  // namespace

void writeCompareSheet(const CompareReport& report, const std::string& file) {
    const int columns = columnsFor(report.shown.size());
    const int width = tileWidth(columns);
    const double room = sheetWidth(columns) - 2.0 * kMargin;
    std::vector<Tile> tiles;
    Strings title, head;
    {
        const Canvas scratch(file, 8, 8);  // measures letters; nothing is written
        for (const ShownVariant& v : report.shown) breakLines(scratch, tiles.emplace_back(tileOf(report, v, width)));
        const Scene& scene = report.shown.front().set->scene;
        title = wrapped(scratch, scene.title.empty() ? scene.file.filename().string() : scene.title, kTitle, room);
        for (const std::string& line : headLines(report))
            for (const std::string& part : wrapped(scratch, line, kText, room)) head.push_back(part);
    }
    alignFigures(tiles, static_cast<std::size_t>(columns));
    double y = kMargin + 0.5 * kTitle;
    const double top = y + 44.0 * static_cast<double>(title.size()) + kLine * static_cast<double>(head.size()) + 14.0;
    const std::vector<double> tops = rowsOf(tiles, columns, top);
    Canvas canvas(file, sheetWidth(columns), static_cast<int>(tops.back()) + kMargin - 26);
    for (const std::string& line : title) canvas.text({kMargin, y}, line, kTitle), y += 44.0;
    for (const std::string& line : head) canvas.text({kMargin, y}, line, kText, Anchor::start, kPale), y += kLine;
    for (std::size_t t = 0; t < tiles.size(); ++t) {
        const auto column = static_cast<int>(t) % columns;
        drawTile(canvas, tiles[t], {kMargin + column * (width + kGap), tops[t / static_cast<std::size_t>(columns)]});
    }
    canvas.write();
}

}  // namespace keyfall
