// The picture again after a change of power, on and off, shutter, speed, f-number (exposure), white
// balance or a light's colour, while somebody turns a knob: no tracing, and faster than develop() and
// expose(), which are the reference. Not here: the soft view, files, clipping.
#pragma once

#include <cstdint>
#include <glm/glm.hpp>
#include <vector>

#include "renderer/film/film.h"

namespace keyfall {

/// A film packed for speed, which memory bandwidth alone limits. A pixel of a layer is
///     16 bands  as 16-bit shares of the largest and one float: 36 bytes of the film's 80,
///     X, Y, Z   as 16-bit shares of the largest and half a float: 8 bytes, made from the bands for
///               the layer's present colour.
/// A change of amounts, exposure or white reads the second, a change of colour the first as well.
///
/// Shares are rounded to 1/65535, so a linear value is within 1e-4 of the pixel's largest. The sum goes
/// layer by layer for each pixel: the same bytes for any number of threads.
class Mixer {
  public:
    /// Copies what it needs; later changes of the film are not seen. Colours begin as in
    /// LayerInfo::bands. Throws MemoryError when memory would not do.
    explicit Mixer(const Film& film);

    int width() const { return width_px_; }
    int height() const { return height_px_; }

    /// As renderView(expose(develop(film, mix), factor, white), View::straight): three bytes a pixel,
    /// rows from the top. A layer that is off (amount 0) keeps its former colour until it is on.
    /// Throws std::logic_error for a mix that is not this film's.
    const std::vector<std::uint8_t>& codes(const std::vector<LayerMix>& mix, double factor, glm::dvec3 white);
    /// As expose(develop(film, mix), factor, white), three floats a pixel.
    const std::vector<float>& linear(const std::vector<LayerMix>& mix, double factor, glm::dvec3 white);

  private:
    static constexpr std::size_t kTile = 1024;  ///< pixels worked on at once; what they need stays in the cache

    struct BandTile {
        float scale[kTile];
        std::uint16_t share[kBands][kTile];
    };
    struct XyzTile {
        std::uint16_t scale[kTile];  ///< upper half of a float
        std::uint16_t share[3][kTile];
    };
    /// One layer's part of a mix.
    struct Part {
        std::size_t layer = 0;
        float amount = 0.0F;
        bool recolour = false;
        float weight[3][kBands];  ///< XYZ of a band per unit transfer
    };
    struct Sums {
        float v[3][kTile];
    };

    static void pack(const Film& film, std::size_t layer, std::size_t first, BandTile& out);
    static void recolour(const BandTile& bands, const Part& part, XyzTile& out);
    static void add(const XyzTile& xyz, float amount, Sums& sums);
    static void limit(Sums& sums);
    static void transform(const glm::dmat3& matrix, Sums& sums);
    std::vector<Part> partsOf(const std::vector<LayerMix>& mix);
    template <class Write>
    void run(const std::vector<LayerMix>& mix, double factor, glm::dvec3 white, const Write& write);

    std::size_t tileOf(std::size_t layer, std::size_t tile) const { return tile * layers_ + layer; }

    int width_px_;
    int height_px_;
    std::size_t pixels_;
    std::size_t layers_;
    std::size_t tiles_;
    std::vector<BandTile> bands_;      ///< tile by tile, in each the layers
    std::vector<XyzTile> xyz_;
    std::vector<BandXYZ> colour_;      ///< of xyz_, by layer
    std::vector<bool> coloured_;       ///< xyz_ of the layer has been made
    std::vector<std::uint8_t> codes_;
    std::vector<float> linear_;
};

}  // namespace keyfall
