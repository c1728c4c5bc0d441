// Written tile by tile: for each offset the distances of all pixels, their mean over patches, the weights.
#include "renderer/photograph/smooth.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "renderer/film/parallel.h"

namespace keyfall {
namespace {

constexpr int kReach_px = 10;
constexpr int kPatch_px = 2;  // to each side
constexpr int kTileRows = 16;

/// What is averaged of a pixel: three channels, three kinds of electrons, four replicates of the luminance.
constexpr std::size_t kValues = 6 + kPictureReplicates;
using Values = std::array<float, kValues>;

struct Source {
    int width = 0;
    int height = 0;
    std::vector<Values> value;
    std::vector<float> variance;  ///< of the three channels together

    std::size_t at(int x, int y) const {
        return static_cast<std::size_t>(std::clamp(y, 0, height - 1)) * static_cast<std::size_t>(width) +
               static_cast<std::size_t>(std::clamp(x, 0, width - 1));
    }
};

/// Replicates' luminance as shares of their mean; 1 where it is black.
std::array<double, kPictureReplicates> replicatesOf(const Film& film, const std::vector<LayerMix>& mix,
                                                    std::size_t pixel) {
    std::array<double, kPictureReplicates> r{};
    double mean = 0.0;
    for (std::size_t i = 0; i < r.size(); ++i) {
        for (std::size_t l = 0; l < mix.size(); ++l)
            if (mix[l].amount != 0.0)
                r[i] += mix[l].amount * static_cast<double>(film.cell(l, pixel).replicateSum[i]);
        mean += r[i] / kPictureReplicates;
    }
    for (double& x : r) x = mean > 0.0 ? x / mean : 1.0;
    return r;
}

Source sourceOf(const Film& film, const std::vector<LayerMix>& mix, const PixelImage& picture,
                const PixelImage& electrons) {
    Source s{picture.width_px, picture.height_px, {}, {}};
    s.value.resize(picture.pixel.size());
    s.variance.resize(picture.pixel.size());
    const std::vector<float> noise_stops = noiseMap_stops(film, mix);
    parallelFor(picture.pixel.size(), [&](std::size_t p) {
        const glm::dvec3 colour = picture.pixel[p];
        for (int c = 0; c < 3; ++c) {
            s.value[p][static_cast<std::size_t>(c)] = static_cast<float>(colour[c]);
            s.value[p][static_cast<std::size_t>(3 + c)] = static_cast<float>(electrons.pixel[p][c]);
        }
        const std::array<double, kPictureReplicates> r = replicatesOf(film, mix, p);
        for (std::size_t i = 0; i < r.size(); ++i)
            s.value[p][6 + i] = static_cast<float>(r[i] * electrons.pixel[p].y);
        // The same paths light all channels: one relative error for all three. Pooled over neighbours it is
        // better known, but says too little of a speck that one path made: then the pixel's own.
        const double pooled = std::numbers::ln2 * static_cast<double>(noise_stops[p]);
        double own = 0.0;
        for (const double x : r) own += (x - 1.0) * (x - 1.0) / (kPictureReplicates * (kPictureReplicates - 1));
        s.variance[p] = static_cast<float>(std::max(pooled * pooled, own) * glm::dot(colour, colour));
    });
    return s;
}

/// Some rows of the picture, and what neighbours have brought them so far.
class Tile {
  public:
    Tile(const Source& source, int first, int rows)
        : s_(source), first_(first), rows_(rows), sum_(cells(rows)), weight_(cells(rows), 0.0F),
          square_(cells(rows + 2 * kPatch_px)), noise_(square_.size()), column_(static_cast<std::size_t>(s_.width) + 1),
          columnNoise_(column_.size()) {}

    void addAll() {
        for (int dy = -kReach_px; dy <= kReach_px; ++dy)
            for (int dx = -kReach_px; dx <= kReach_px; ++dx) add(dx, dy);
    }

    /// Means, written where the source's pixels stand. A pixel is like itself: no weight is 0.
    void write(std::vector<Values>& out) const {
        for (std::size_t i = 0; i < sum_.size(); ++i)
            for (std::size_t k = 0; k < kValues; ++k)
                out[cells(first_) + i][k] = sum_[i][k] / weight_[i];
    }

  private:
    std::size_t cells(int rows) const { return static_cast<std::size_t>(rows) * static_cast<std::size_t>(s_.width); }

    /// Square differences and their noise of single pixels, kPatch_px rows more above and below.
    void compare(int dx, int dy) {
        std::size_t i = 0;
        for (int y = first_ - kPatch_px; y < first_ + rows_ + kPatch_px; ++y)
            for (int x = 0; x < s_.width; ++x, ++i) {
                const std::size_t p = s_.at(x, y), q = s_.at(x + dx, y + dy);
                float square = 0.0F;
                for (std::size_t c = 0; c < 3; ++c) {
                    const float d = s_.value[p][c] - s_.value[q][c];
                    square += d * d;
                }
                square_[i] = square;
                noise_[i] = s_.variance[p] + s_.variance[q];
            }
    }

    /// Sums over a column of the patch around row y of the tile.
    void addColumns(int y) {
        for (int x = 0; x < s_.width; ++x) {
            const auto at = static_cast<std::size_t>(x);
            column_[at] = columnNoise_[at] = 0.0F;
            for (int row = y; row <= y + 2 * kPatch_px; ++row) {
                column_[at] += square_[cells(row) + at];
                columnNoise_[at] += noise_[cells(row) + at];
            }
        }
    }

    /// 1 for what is alike, 0 from where squares are twice what noise makes of them.
    float likeness(int x) const {
        float square = 0.0F;
        float noise = 0.0F;
        for (int c = x - kPatch_px; c <= x + kPatch_px; ++c) {
            const auto at = static_cast<std::size_t>(std::clamp(c, 0, s_.width - 1));
            square += column_[at];
            noise += columnNoise_[at];
        }
        if (!(square > noise)) return 1.0F;
        if (!(square < 2.0F * noise)) return 0.0F;
        const float left = 2.0F - square / noise;
        return left * left;
    }

    void add(int dx, int dy) {
        compare(dx, dy);
        for (int y = 0; y < rows_; ++y) {
            if (first_ + y + dy < 0 || first_ + y + dy >= s_.height) continue;
            addColumns(y);
            for (int x = std::max(0, -dx); x < std::min(s_.width, s_.width - dx); ++x) {
                const float w = dx == 0 && dy == 0 ? 1.0F : likeness(x);
                if (!(w > 0.0F)) continue;
                const std::size_t i = cells(y) + static_cast<std::size_t>(x);
                const Values& v = s_.value[s_.at(x + dx, first_ + y + dy)];
                for (std::size_t k = 0; k < kValues; ++k) sum_[i][k] += w * v[k];
                weight_[i] += w;
            }
        }
    }

    const Source& s_;
    int first_, rows_;
    std::vector<Values> sum_;
    std::vector<float> weight_, square_, noise_, column_, columnNoise_;
};

/// Standard error of four replicates over their mean, in stops; nothing for black.
double noiseLeft_stops(const std::vector<Values>& values) {
    std::vector<double> stops;
    for (const Values& v : values) {
        double mean = 0.0;
        double square = 0.0;
        for (std::size_t i = 6; i < kValues; ++i) mean += static_cast<double>(v[i]) / kPictureReplicates;
        if (!(mean > 0.0)) continue;
        for (std::size_t i = 6; i < kValues; ++i) square += std::pow(static_cast<double>(v[i]) - mean, 2);
        stops.push_back(std::sqrt(square / (kPictureReplicates * (kPictureReplicates - 1))) / mean / std::numbers::ln2);
    }
    if (stops.empty()) return 0.0;
    const auto at = stops.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(stops.size() - 1));
    std::nth_element(stops.begin(), at, stops.end());
    return *at;
}

}  // namespace

double smoothNoise(const Film& film, const std::vector<LayerMix>& mix, PixelImage& picture,
                   PixelImage& electrons) {
    if (picture.pixel.size() != film.pixelCount() || electrons.pixel.size() != film.pixelCount())
        throw std::logic_error("smoothing of a picture that is not this film's");
    const Source source = sourceOf(film, mix, picture, electrons);
    std::vector<Values> smooth(source.value.size());
    parallelFor((source.height + kTileRows - 1) / kTileRows, [&](int t) {
        Tile tile(source, t * kTileRows, std::min(kTileRows, source.height - t * kTileRows));
        tile.addAll();
        tile.write(smooth);
    });
    for (std::size_t p = 0; p < smooth.size(); ++p)
        for (int c = 0; c < 3; ++c) {
            picture.pixel[p][c] = static_cast<double>(smooth[p][static_cast<std::size_t>(c)]);
            electrons.pixel[p][c] = static_cast<double>(smooth[p][static_cast<std::size_t>(3 + c)]);
        }
    return noiseLeft_stops(smooth);
}

}  // namespace keyfall
