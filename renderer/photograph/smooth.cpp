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

/// A pixel's channels and their noise, by rows that go on beyond the picture as its border: the loops over
/// neighbours then know of no border, and become vector code.
struct Plane {
    static constexpr int kPad_px = kReach_px + kPatch_px;
    std::size_t stride = 0;
    std::vector<float> value;

    float* row(int y) { return &value[static_cast<std::size_t>(y + kPad_px) * stride + kPad_px]; }
    const float* row(int y) const { return &value[static_cast<std::size_t>(y + kPad_px) * stride + kPad_px]; }
};

struct Source {
    int width = 0;
    int height = 0;
    std::vector<Values> value;
    std::array<Plane, 3> channel;
    Plane variance;  ///< of the three channels together
};

template <class Value>
Plane planeOf(int width, int height, const Value& value) {
    constexpr int pad = Plane::kPad_px;
    Plane plane;
    plane.stride = static_cast<std::size_t>(width + 2 * pad);
    plane.value.resize(plane.stride * static_cast<std::size_t>(height + 2 * pad));
    for (int y = -pad; y < height + pad; ++y)
        for (int x = -pad; x < width + pad; ++x)
            plane.row(y)[x] = value(static_cast<std::size_t>(std::clamp(y, 0, height - 1)) * static_cast<std::size_t>(width) +
                                    static_cast<std::size_t>(std::clamp(x, 0, width - 1)));
    return plane;
}

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
    Source s{picture.width_px, picture.height_px, {}, {}, {}};
    s.value.resize(picture.pixel.size());
    std::vector<float> variance(picture.pixel.size());
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
        variance[p] = static_cast<float>(std::max(pooled * pooled, own) * glm::dot(colour, colour));
    });
    for (std::size_t c = 0; c < 3; ++c)
        s.channel[c] = planeOf(s.width, s.height, [&](std::size_t p) { return s.value[p][c]; });
    s.variance = planeOf(s.width, s.height, [&](std::size_t p) { return variance[p]; });
    return s;
}

/// 1 for what is alike, 0 from where squares are twice what noise makes of them.
float likeness(float square, float noise) {
    constexpr float kNone = 1e-30F;  // two pixels without noise: alike, or not at all
    const float left = std::clamp(2.0F - (square + kNone) / (noise + kNone), 0.0F, 1.0F);
    return left * left;
}

/// Some rows of the picture, and what neighbours have brought them so far.
class Tile {
  public:
    Tile(const Source& source, int first, int rows)
        : s_(source), first_(first), rows_(rows), width_(static_cast<std::size_t>(s_.width)),
          patchWidth_(width_ + 2 * kPatch_px), sum_(width_ * static_cast<std::size_t>(rows)), weight_(sum_.size(), 0.0F),
          square_(patchWidth_ * static_cast<std::size_t>(rows + 2 * kPatch_px)), noise_(square_.size()),
          columnSquare_(patchWidth_), columnNoise_(patchWidth_), like_(width_) {}

    void addAll() {
        for (int dy = -kReach_px; dy <= kReach_px; ++dy)
            for (int dx = -kReach_px; dx <= kReach_px; ++dx) {
                compare(dx, dy);
                for (int y = std::max(0, -dy - first_); y < std::min(rows_, s_.height - first_ - dy); ++y) {
                    weigh(y);
                    if (dx == 0 && dy == 0) std::fill(like_.begin(), like_.end(), 1.0F);
                    add(y, dx, dy);
                }
            }
    }

    /// Means, written where the source's pixels stand. A pixel is like itself: no weight is 0.
    void write(std::vector<Values>& out) const {
        Values* to = &out[static_cast<std::size_t>(first_) * width_];
        for (std::size_t i = 0; i < sum_.size(); ++i)
            for (std::size_t k = 0; k < kValues; ++k) to[i][k] = sum_[i][k] / weight_[i];
    }

  private:
    /// Square differences of single pixels and their noise, half a patch further than the tile on each side.
    void compare(int dx, int dy) {
        for (int row = 0; row < rows_ + 2 * kPatch_px; ++row) {
            const int y = first_ + row - kPatch_px;
            float* square = &square_[static_cast<std::size_t>(row) * patchWidth_];
            float* noise = &noise_[static_cast<std::size_t>(row) * patchWidth_];
            const float *r = s_.channel[0].row(y) - kPatch_px, *g = s_.channel[1].row(y) - kPatch_px,
                        *b = s_.channel[2].row(y) - kPatch_px, *v = s_.variance.row(y) - kPatch_px;
            const std::ptrdiff_t to = s_.channel[0].row(y + dy) + dx - s_.channel[0].row(y);
            for (std::size_t x = 0; x < patchWidth_; ++x) {
                const float dr = r[x] - (r + to)[x], dg = g[x] - (g + to)[x], db = b[x] - (b + to)[x];
                square[x] = dr * dr + dg * dg + db * db;
                noise[x] = v[x] + (v + to)[x];
            }
        }
    }

    /// How alike the patches around the pixels of row y are.
    void weigh(int y) {
        std::fill(columnSquare_.begin(), columnSquare_.end(), 0.0F);
        std::fill(columnNoise_.begin(), columnNoise_.end(), 0.0F);
        for (int row = y; row <= y + 2 * kPatch_px; ++row) {
            const float* square = &square_[static_cast<std::size_t>(row) * patchWidth_];
            const float* noise = &noise_[static_cast<std::size_t>(row) * patchWidth_];
            for (std::size_t x = 0; x < patchWidth_; ++x) columnSquare_[x] += square[x], columnNoise_[x] += noise[x];
        }
        const float *s = columnSquare_.data(), *n = columnNoise_.data();
        static_assert(kPatch_px == 2, "five columns are written out below");
        for (std::size_t x = 0; x < width_; ++x)
            like_[x] = likeness(s[x] + s[x + 1] + s[x + 2] + s[x + 3] + s[x + 4],
                                n[x] + n[x + 1] + n[x + 2] + n[x + 3] + n[x + 4]);
    }

    void add(int y, int dx, int dy) {
        const std::size_t here = static_cast<std::size_t>(y) * width_;
        const std::size_t there = static_cast<std::size_t>(first_ + y + dy) * width_;
        for (int x = std::max(0, -dx); x < std::min(s_.width, s_.width - dx); ++x) {
            const float w = like_[static_cast<std::size_t>(x)];
            if (!(w > 0.0F)) continue;
            const Values& v = s_.value[there + static_cast<std::size_t>(x + dx)];
            Values& sum = sum_[here + static_cast<std::size_t>(x)];
            for (std::size_t k = 0; k < kValues; ++k) sum[k] += w * v[k];
            weight_[here + static_cast<std::size_t>(x)] += w;
        }
    }

    const Source& s_;
    int first_, rows_;
    std::size_t width_, patchWidth_;
    std::vector<Values> sum_;
    std::vector<float> weight_, square_, noise_, columnSquare_, columnNoise_, like_;
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
