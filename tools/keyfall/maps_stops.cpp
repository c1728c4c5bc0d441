// Stops from 18 % grey in bands of one stop. The scale is our own: lightness rises evenly with the stops,
// by 6 or 7 L* a band below grey and by 11 to 13 above, so it reads in greys too; dark bands turn to
// violet, grey stays grey, light ones turn to amber, a pair that no common colour blindness confuses.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "maps.h"
#include "maps_sheet.h"
#include "renderer/photograph/view.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

constexpr int kLowest_stops = -6;
constexpr int kHighest_stops = 3;

// L* 16, 23, 30, 36, 42, 48, 56, 68, 81, 92 at hues from 310 to 265 and from 75 to 95 degrees (CIELAB).
constexpr std::array<Rgb8, 10> kBand{{{51, 26, 86}, {63, 42, 108}, {72, 60, 129}, {75, 79, 140}, {80, 98, 144},
                                      {98, 116, 137}, {134, 134, 134}, {203, 158, 100}, {251, 191, 83}, {255, 232, 109}}};
constexpr Rgb8 kBelow{12, 8, 18};
constexpr Rgb8 kLine{70, 25, 20};

/// The band of a linear value: whole stops in their middle. Below the lowest: one under it.
int bandOf(double linear) {
    if (!(linear > 0.0)) return kLowest_stops - 1;
    return static_cast<int>(std::clamp(std::round(std::log2(linear / kMidGrey)), kLowest_stops - 1.0, kHighest_stops + 0.0));
}

Rgb8 colourOfBand(int stops) {
    return stops < kLowest_stops ? kBelow : kBand[static_cast<std::size_t>(stops - kLowest_stops)];
}

struct Shares {
    std::array<double, kHighest_stops - kLowest_stops + 2> band{};
    double picture = 0.0, raw = 0.0;
};

Shares sharesOf(const LinearImage& image, const ClippedPixels& clipped) {
    Shares s;
    const double one = 100.0 / static_cast<double>(image.pixel.size());
    for (std::size_t p = 0; p < image.pixel.size(); ++p) {
        const double y = glm::dot(image.pixel[p], glm::dvec3(0.2126, 0.7152, 0.0722));
        s.band[static_cast<std::size_t>(bandOf(y) - kLowest_stops + 1)] += one;
        s.picture += clipped.kind[p] == Clipped::no ? 0.0 : one;
        s.raw += clipped.raw[p] * one;
    }
    return s;
}

std::string labelOf(int stops, double share_percent) {
    if (stops < kLowest_stops) return fmt::format("darker still\t\t{:.1f} %", share_percent);
    const double linear = kMidGrey * std::exp2(stops);
    const std::string code = linear > 1.0 ? "over white" : fmt::format("sRGB {}", srgbCodes(glm::dvec3(linear))[0]);
    const std::string name = stops == 0 ? "0, 18 % grey" : fmt::format("{:+d}{}", stops, stops == kHighest_stops ? " and more" : "");
    return fmt::format("{}\t{}\t{:.1f} %", name, code, share_percent);
}

std::vector<LegendLine> legendOf(const Shares& s) {
    std::vector<LegendLine> legend{{"stops\tcode\tof the picture", {}}};
    for (int stops = kHighest_stops; stops >= kLowest_stops - 1; --stops)
        legend.push_back({labelOf(stops, s.band[static_cast<std::size_t>(stops - kLowest_stops + 1)]), {{colourOfBand(stops)}}});
    const Rgb8 light = colourOfBand(kHighest_stops - 1);
    legend.push_back({"", {}});
    legend.push_back({fmt::format("a channel clips in the picture\t\t{:.1f} %", s.picture), {{light, Hatch::stripes, kLine}}});
    legend.push_back({fmt::format("and in the raw file\t\t{:.1f} %", s.raw), {{light, Hatch::lattice, kLine}}});
    return legend;
}

}  // namespace

void writeStopsMap(const MapSources& sources, const std::string& file) {
    const LinearImage& image = sources.image;
    const ClippedPixels& clipped = sources.clipped;
    MapSheet sheet = sheetOf(sources.image, "Stops from 18 % grey",
                             "luminance in the straight picture; a band reaches half a stop to either side of its figure");
    sheet.legend = legendOf(sharesOf(image, clipped));
    sheet.paintAt = [&](std::size_t p) {
        const double y = glm::dot(image.pixel[p], glm::dvec3(0.2126, 0.7152, 0.0722));
        const Hatch hatch = clipped.raw[p] != 0 ? Hatch::lattice : clipped.kind[p] == Clipped::no ? Hatch::none : Hatch::stripes;
        return Paint{colourOfBand(bandOf(y)), hatch, kLine};
    };
    writeSheet(sheet, file);
}

}  // namespace keyfall
