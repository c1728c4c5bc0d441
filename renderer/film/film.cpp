// The Film's storage, its luminance and its noise. Not here: who fills it (transport).
#include "renderer/film/film.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "renderer/film/memory.h"
#include "renderer/film/parallel.h"

namespace keyfall {
namespace {

/// The picture's layers and a mix's are matched by place: another count is our own mistake.
void requireSameLayers(const Film& film, const std::vector<LayerMix>& mix) {
    if (mix.size() == film.layers().size()) return;
    throw std::logic_error("a mix of " + std::to_string(mix.size()) + " layers for a film of " +
                           std::to_string(film.layers().size()));
}

/// Relative variance of a pixel's mean luminance, from its replicates; negative when it is black.
///
/// Replicate r has mean m_r; their mean is m, and
///     var(m) = sum (m_r - m)^2 / (R (R - 1)),    relative: var(m) / m^2.
/// Sums serve as well as means: every replicate of a pixel has had the same number of samples, so
/// the count cancels. With light never negative the result is at most 1 (all in one replicate).
double relativeVariance(const Film& film, const std::vector<LayerMix>& mix, std::size_t pixel) {
    constexpr int R = kPictureReplicates;
    double sum[R] = {};
    for (std::size_t l = 0; l < mix.size(); ++l) {
        if (mix[l].amount == 0.0) continue;
        const FilmCell& cell = film.cell(l, pixel);
        for (std::size_t r = 0; r < R; ++r)
            sum[r] += mix[l].amount * static_cast<double>(cell.replicateSum[r]);
    }
    double mean = 0.0;
    for (const double s : sum) mean += s / R;
    if (!(mean > 0.0)) return -1.0;
    double squares = 0.0;
    for (const double s : sum) squares += (s - mean) * (s - mean);
    return squares / (R * (R - 1.0)) / (mean * mean);
}

/// Mean over the pixels of the 3x3 neighbourhood that are not black.
double pooled(const std::vector<double>& relVar, int width, int height, int x, int y) {
    double sum = 0.0;
    int count = 0;
    for (int v = std::max(0, y - 1); v <= std::min(height - 1, y + 1); ++v)
        for (int u = std::max(0, x - 1); u <= std::min(width - 1, x + 1); ++u) {
            const double value =
                relVar[static_cast<std::size_t>(v) * static_cast<std::size_t>(width) +
                       static_cast<std::size_t>(u)];
            if (value < 0.0) continue;
            sum += value;
            ++count;
        }
    return sum / count;
}

}  // namespace

Film::Film(int width_px, int height_px, std::vector<LayerInfo> layers)
    : width_(width_px), height_(height_px), layers_(std::move(layers)) {
    if (width_px < 1 || height_px < 1)
        throw std::logic_error("a film of " + std::to_string(width_px) + " x " +
                               std::to_string(height_px) + " pixels");
    // Asked before the first byte: a machine that overcommits would grant the allocation and end
    // the program later, in the middle of a render.
    const std::uint64_t wanted = filmBytes(width_px, height_px, layers_.size());
    requireMemory(wanted, availableBytes());
    const std::size_t pixels =
        static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px);
    cells_.resize(pixels * layers_.size());
    specular_.resize(pixels * layers_.size());
    samples_.resize(pixels);
    productHits_.resize(pixels);
}

Bands Film::transfer(std::size_t layer, std::size_t pixel) const {
    Bands mean;
    const std::uint32_t samples = samples_[pixel];
    if (samples == 0) return mean;
    const FilmCell& sums = cell(layer, pixel);
    for (int b = 0; b < kBands; ++b)
        mean[b] = sums.transferSum[static_cast<std::size_t>(b)] / static_cast<float>(samples);
    return mean;
}

double luminanceAt(const Film& film, const std::vector<LayerMix>& mix, std::size_t pixel) {
    requireSameLayers(film, mix);
    const std::uint32_t samples = film.samplesAt(pixel);
    if (samples == 0) return 0.0;
    // Y = sum over layers of amount * sum over bands of T[b] * Y[b]
    double sum = 0.0;
    for (std::size_t l = 0; l < mix.size(); ++l) {
        if (mix[l].amount == 0.0) continue;  // off: whatever the layer holds stays out
        const FilmCell& cell = film.cell(l, pixel);
        double layer = 0.0;
        for (std::size_t b = 0; b < kBands; ++b)
            layer += static_cast<double>(cell.transferSum[b]) * mix[l].bands.xyz[b].y;
        sum += mix[l].amount * layer;
    }
    return sum / samples;
}

std::vector<float> noiseMap_stops(const Film& film, const std::vector<LayerMix>& mix) {
    requireSameLayers(film, mix);
    const int width = film.width();
    const int height = film.height();
    std::vector<double> relVar(film.pixelCount());
    parallelFor(film.pixelCount(), [&](std::size_t p) { relVar[p] = relativeVariance(film, mix, p); });
    // Four replicates alone scatter by 40 %, and a pixel that was lucky four times over would pass
    // for clean; nine neighbours bring 27 degrees of freedom. What is pooled is the relative
    // variance: a dark pixel beside a lamp does not inherit the lamp's absolute noise.
    std::vector<float> noise_stops(film.pixelCount(), 0.0F);
    parallelFor(height, [&](int y) {
        for (int x = 0; x < width; ++x) {
            const std::size_t p = static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                                  static_cast<std::size_t>(x);
            if (relVar[p] < 0.0) continue;
            // d(log2 L) = dL / (L ln 2)
            noise_stops[p] =
                static_cast<float>(std::sqrt(pooled(relVar, width, height, x, y)) / std::log(2.0));
        }
    });
    return noise_stops;
}

double pictureNoise_stops(const Film& film, const std::vector<LayerMix>& mix) {
    const std::vector<float> noise_stops = noiseMap_stops(film, mix);
    std::vector<float> lit;
    lit.reserve(noise_stops.size());
    for (std::size_t p = 0; p < noise_stops.size(); ++p)
        if (luminanceAt(film, mix, p) > 0.0) lit.push_back(noise_stops[p]);
    if (lit.empty()) return 0.0;
    // Nearest rank: the smallest value that 95 % of the pixels do not exceed.
    const auto rank = static_cast<std::size_t>(std::ceil(0.95 * static_cast<double>(lit.size())));
    const auto at = lit.begin() + static_cast<std::ptrdiff_t>(std::max<std::size_t>(rank, 1) - 1);
    std::nth_element(lit.begin(), at, lit.end());
    return static_cast<double>(*at);
}

}  // namespace keyfall
