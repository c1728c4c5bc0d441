// The scale is our own: grey is no difference, steps to blue are darker, steps to amber brighter; lightness
// falls toward blue and rises toward amber, so it reads in greys, too, and no common colour blindness
// confuses the two ends. What is within the noise shows the picture itself, dimmed and in greys.
#include "difference_map.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "maps_sheet.h"
#include "renderer/film/parallel.h"
#include "renderer/photograph/flash_cut.h"
#include "renderer/transport/layers.h"

namespace keyfall {
namespace {

constexpr double kStudent95_df27 = 2.052;  // two-sided, any table of Student's t

/// Where the bands end, in stops; a tenth is the step of a lamp's dial.
constexpr std::array<double, 5> kEnds_stops = {0.1, 0.25, 0.5, 1.0, 2.0};
constexpr std::array<Rgb8, 5> kDarker{{{128, 142, 163}, {96, 125, 170}, {62, 100, 166}, {43, 68, 143}, {38, 32, 105}}};
constexpr std::array<Rgb8, 5> kBrighter{{{190, 172, 138}, {214, 175, 104}, {236, 181, 72}, {250, 200, 62}, {255, 230, 120}}};
constexpr Rgb8 kSame{158, 158, 158};

double meanOf(const std::array<float, kPictureReplicates>& v) {
    double sum = 0.0;
    for (const float x : v) sum += static_cast<double>(x);
    return sum / kPictureReplicates;
}

/// Variance of log2(to / from) of one pixel; negative where one of them is black.
double variance(const std::array<float, kPictureReplicates>& from, const std::array<float, kPictureReplicates>& to) {
    const double a = meanOf(from), b = meanOf(to);
    if (!(a > 0.0) || !(b > 0.0)) return -1.0;
    // d(log2(b/a)) = (db/b - da/a) / ln 2, replicate by replicate: noise that both share cancels.
    double squares = 0.0;
    for (std::size_t r = 0; r < kPictureReplicates; ++r) {
        const double off = (static_cast<double>(to[r]) / b - static_cast<double>(from[r]) / a) / std::log(2.0);
        squares += off * off;
    }
    return squares / (kPictureReplicates * (kPictureReplicates - 1.0));
}

/// Mean over the 3 x 3 neighbours that are lit in both.
double pooled(const std::vector<double>& values, int width, int height, int x, int y) {
    double sum = 0.0;
    int count = 0;
    for (int v = std::max(0, y - 1); v <= std::min(height - 1, y + 1); ++v)
        for (int u = std::max(0, x - 1); u <= std::min(width - 1, x + 1); ++u) {
            const double value = values[static_cast<std::size_t>(v) * static_cast<std::size_t>(width) + static_cast<std::size_t>(u)];
            if (value < 0.0) continue;
            sum += value;
            ++count;
        }
    return sum / std::max(1, count);
}

/// The luminance sum of one replicate of a pixel.
double replicate(const Film& film, const std::vector<LayerMix>& mix, std::size_t pixel, std::size_t r) {
    double sum = 0.0;
    for (std::size_t l = 0; l < mix.size(); ++l)
        if (mix[l].amount != 0.0) sum += mix[l].amount * static_cast<double>(film.cell(l, pixel).replicateSum[r]);
    return sum;
}

float stopsOf(double from, double to) {
    if (!(from > 0.0) && !(to > 0.0)) return 0.0F;
    return static_cast<float>(std::log2(to / from));
}

/// 0: no difference; +-1 to +-5: the bands.
int bandOf(double stops) {
    const double size = std::abs(stops);
    int band = 0;
    while (band < 5 && size >= kEnds_stops[static_cast<std::size_t>(band)]) ++band;
    return stops < 0.0 ? -band : band;
}

Rgb8 colourOf(int band) {
    if (band == 0) return kSame;
    return band > 0 ? kBrighter[static_cast<std::size_t>(band - 1)] : kDarker[static_cast<std::size_t>(-band - 1)];
}

std::string labelOf(int band) {
    if (band == 0) return "less than 0.1 stop";
    const char* word = band > 0 ? "brighter" : "darker";
    const auto b = static_cast<std::size_t>(std::abs(band));
    if (b == kEnds_stops.size()) return fmt::format("{:g} stops and more {}", kEnds_stops.back(), word);
    return fmt::format("{:g} to {:g} {}", kEnds_stops[b - 1], kEnds_stops[b], word);
}

std::vector<LegendLine> legendOf(const std::vector<PixelDifference>& pixels) {
    std::array<double, 11> band{};
    double noise = 0.0;
    const double one = 100.0 / static_cast<double>(pixels.size());
    for (const PixelDifference& p : pixels) (p.isNoise ? noise : band[static_cast<std::size_t>(bandOf(static_cast<double>(p.stops)) + 5)]) += one;
    std::vector<LegendLine> legend{{"stops\t\tof the picture", {}}};
    for (int b = 5; b >= -5; --b)
        legend.push_back({fmt::format("{}\t\t{:.1f} %", labelOf(b), band[static_cast<std::size_t>(b + 5)]), {{colourOf(b)}}});
    legend.push_back({"", {}});
    legend.push_back({fmt::format("within the noise\t\t{:.1f} %", noise), {dimmed(glm::dvec3(0.18))}});
    legend.push_back({"(the first picture, dimmed: no difference", {}});
    legend.push_back({"that the calculation is sure of)", {}});
    return legend;
}

}  // namespace

PictureReplicates replicatesOf(const Scene& scene, const Film& film, const std::vector<LayerMix>& mix) {
    PictureReplicates out{film.width(), film.height(), std::vector<std::array<float, kPictureReplicates>>(film.pixelCount())};
    const double factor = pictureFactor(scene.camera);
    const std::vector<LayerMix> steady = mixAsSet(scene, scene.camera.shutter_s.exact, Which::continuous);
    const FlashCut cut = flashCutOf(scene.camera);
    parallelFor(film.height(), [&](int y) {
        for (int x = 0; x < film.width(); ++x) {
            const auto p = static_cast<std::size_t>(y) * static_cast<std::size_t>(film.width()) + static_cast<std::size_t>(x);
            if (film.samplesAt(p) == 0) continue;
            const double flashed = cut.flashed({x, y}, {film.width(), film.height()});
            const double share = factor * kPictureReplicates / film.samplesAt(p);
            for (std::size_t r = 0; r < kPictureReplicates; ++r)
                out.value[p][r] = static_cast<float>(share * (flashed * replicate(film, mix, p, r) + (1.0 - flashed) * replicate(film, steady, p, r)));
        }
    });
    return out;
}

std::vector<PixelDifference> differencesOf(const PictureReplicates& from, const PictureReplicates& to) {
    std::vector<double> noise(from.value.size());
    parallelFor(noise.size(), [&](std::size_t p) { noise[p] = variance(from.value[p], to.value[p]); });
    std::vector<PixelDifference> pixels(noise.size());
    parallelFor(from.height_px, [&](int y) {
        for (int x = 0; x < from.width_px; ++x) {
            const auto p = static_cast<std::size_t>(y) * static_cast<std::size_t>(from.width_px) + static_cast<std::size_t>(x);
            const float stops = stopsOf(meanOf(from.value[p]), meanOf(to.value[p]));
            const double error = noise[p] < 0.0 ? 0.0 : std::sqrt(pooled(noise, from.width_px, from.height_px, x, y));
            pixels[p] = {stops, std::abs(static_cast<double>(stops)) < kStudent95_df27 * error};
        }
    });
    return pixels;
}

DifferenceShares sharesOf(const std::vector<PixelDifference>& pixels) {
    DifferenceShares s;
    const double one = 1.0 / static_cast<double>(pixels.size());
    for (const PixelDifference& p : pixels) {
        const int band = bandOf(static_cast<double>(p.stops));
        if (p.isNoise) s.withinNoise += one;
        else if (band > 0) s.brighter += one;
        else if (band < 0) s.darker += one;
    }
    return s;
}

void writeDifferenceMap(const PictureReplicates& from, const std::string& fromName, const std::vector<PixelDifference>& pixels,
                        const std::string& toName, const std::string& subtitle, const std::string& file) {
    MapSheet sheet;
    sheet.title = fmt::format("{} against {}", toName, fromName);
    sheet.subtitle = subtitle;
    sheet.width_px = from.width_px;
    sheet.height_px = from.height_px;
    sheet.legend = legendOf(pixels);
    sheet.paintAt = [&](std::size_t p) {
        if (pixels[p].isNoise) return dimmed(glm::dvec3(meanOf(from.value[p])));
        return Paint{colourOf(bandOf(static_cast<double>(pixels[p].stops))), Hatch::none, {}};
    };
    writeSheet(sheet, file);
}

}  // namespace keyfall
