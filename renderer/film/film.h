// The Film: what reaches the camera, one layer per light, as transfer. Not here: exposure and
// colour (renderer/photograph).
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "scene/bands.h"
#include "scene/fine_spectrum.h"

namespace keyfall {

enum class LayerKind { light, ambient, glow };

/// What a layer is of. The film stores T[b]: luminance reaching the camera in band b per unit of
/// that light's flux in the band, averaged over pixel and pupil, 1/(sr m^2); the ambient's layer
/// per lx of ambient illuminance; the glow's layer holds luminance itself (amount 1, D65 bands).
struct LayerInfo {
    std::string name;  ///< the light's name, "ambient" or "glow"
    LayerKind kind = LayerKind::light;
    std::size_t light = 0;  ///< index into Scene::lights when kind = light
    BandXYZ bands;          ///< as set when rendered; a later colour replaces it
};

/// How much of a layer goes into a picture: exact after tracing, for any power, colour, on/off.
struct LayerMix {
    double amount = 0.0;  ///< flux (lm, lm*s), ambient lx, or 1 for glow; 0 = off
    BandXYZ bands;
};

inline constexpr int kPictureReplicates = 4;

/// One pixel of one layer, 80 bytes: sums over samples, divide by samplesAt().
struct FilmCell {
    std::array<float, kBands> transferSum{};
    /// Sum of the luminance (with LayerInfo::bands) of each replicate's samples.
    std::array<float, kPictureReplicates> replicateSum{};
};

class Film {
  public:
    /// Throws MemoryError naming the bytes wanted and free when memory would not do.
    Film(int width_px, int height_px, std::vector<LayerInfo> layers);

    int width() const { return width_; }
    int height() const { return height_; }
    std::size_t pixelCount() const { return samples_.size(); }
    const std::vector<LayerInfo>& layers() const { return layers_; }

    FilmCell& cell(std::size_t layer, std::size_t pixel) {
        return cells_[layer * pixelCount() + pixel];
    }
    const FilmCell& cell(std::size_t layer, std::size_t pixel) const {
        return cells_[layer * pixelCount() + pixel];
    }

    /// Samples a pixel has had, all replicates together (each replicate has a quarter).
    std::uint32_t& samplesAt(std::size_t pixel) { return samples_[pixel]; }
    std::uint32_t samplesAt(std::size_t pixel) const { return samples_[pixel]; }

    /// Mean transfer of a pixel in a layer.
    Bands transfer(std::size_t layer, std::size_t pixel) const;

    /// Luminance sum of the specular highlights seen on first hits, per layer (bands as rendered).
    float& specularSum(std::size_t layer, std::size_t pixel) {
        return specular_[layer * pixelCount() + pixel];
    }
    float specularSum(std::size_t layer, std::size_t pixel) const {
        return specular_[layer * pixelCount() + pixel];
    }

    /// How many of a pixel's samples first met a product: its coverage times samplesAt().
    std::uint32_t& productHits(std::size_t pixel) { return productHits_[pixel]; }
    std::uint32_t productHits(std::size_t pixel) const { return productHits_[pixel]; }

  private:
    int width_;
    int height_;
    std::vector<LayerInfo> layers_;
    std::vector<FilmCell> cells_;
    std::vector<float> specular_;
    std::vector<std::uint32_t> samples_;
    std::vector<std::uint32_t> productHits_;
};

/// Luminance of a pixel, mean over samples, for a mix (cd/m^2 or cd*s/m^2 as the amounts are).
double luminanceAt(const Film& film, const std::vector<LayerMix>& mix, std::size_t pixel);
/// Standard error of that luminance from the four replicates, in stops, pooled over 3x3 pixels
/// (of those the ones that are not black). 0 where the pixel is black or has no samples.
/// Uses the replicates' luminance as rendered: exact for the rendered colours, close for others.
/// Assumes that every replicate of a pixel has had the same number of samples.
std::vector<float> noiseMap_stops(const Film& film, const std::vector<LayerMix>& mix);
/// 95th percentile of the noise over pixels that are not black; 0 when all are. Somewhat cautious:
/// a pooled figure scatters by 14 %, so even noise of 0.100 stop shows as about 0.122.
double pictureNoise_stops(const Film& film, const std::vector<LayerMix>& mix);

}  // namespace keyfall
