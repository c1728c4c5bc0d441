// A pixel's verdict. Not here: sums over pixels (clipping.cpp).
#include "renderer/photograph/clipped_pixels.h"

#include <algorithm>
#include <stdexcept>

#include "renderer/film/parallel.h"

namespace keyfall {
namespace {

/// Luminance sums of one pixel: all light, its specular part, and the strongest layer.
struct PixelLight {
    double all = 0.0;
    double specular = 0.0;
    std::size_t strongest = 0;
};

PixelLight lightOf(const Film& film, const std::vector<LayerMix>& mix, std::size_t pixel) {
    PixelLight sums;
    double most = -1.0;
    for (std::size_t l = 0; l < mix.size(); ++l) {
        if (mix[l].amount == 0.0) continue;
        double luminance = 0.0;
        for (std::size_t b = 0; b < kBands; ++b)
            luminance +=
                static_cast<double>(film.cell(l, pixel).transferSum[b]) * mix[l].bands.xyz[b].y;
        luminance *= mix[l].amount;
        sums.all += luminance;
        sums.specular += mix[l].amount * static_cast<double>(film.specularSum(l, pixel));
        if (luminance > most) {
            most = luminance;
            sums.strongest = l;
        }
    }
    return sums;
}

/// Whether the pixel would not be clipped without its highlight. The highlight's colour is taken
/// as the pixel's own: the film keeps its luminance alone, so
///     channel without highlight = channel * (1 - L_specular / L).
bool clippedByHighlight(double channel, const PixelLight& light) {
    const double highlight = light.all > 0.0 ? std::min(light.specular / light.all, 1.0) : 0.0;
    return channel * (1.0 - highlight) < kPictureClip;
}

}  // namespace

ClippedPixels clippedPixels(const Film& film, const std::vector<LayerMix>& mix, const LinearImage& image) {
    if (image.pixel.size() != film.pixelCount() || mix.size() != film.layers().size())
        throw std::logic_error("clipping of a picture or a mix that is not this film's");
    ClippedPixels c;
    c.kind.resize(film.pixelCount(), Clipped::no);
    c.raw.resize(film.pixelCount(), 0);
    c.layer.resize(film.pixelCount(), 0);
    parallelFor(film.pixelCount(), [&](std::size_t p) {
        if (film.samplesAt(p) == 0) return;
        const glm::dvec3& colour = image.pixel[p];
        const double channel = std::max({colour.x, colour.y, colour.z});
        if (channel < kPictureClip) return;
        const PixelLight light = lightOf(film, mix, p);
        c.kind[p] = clippedByHighlight(channel, light) ? Clipped::specular : Clipped::diffuse;
        c.raw[p] = channel >= kRawClip ? 1 : 0;
        c.layer[p] = static_cast<std::uint32_t>(light.strongest);
    });
    return c;
}

}  // namespace keyfall
