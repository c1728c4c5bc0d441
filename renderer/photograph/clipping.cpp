// Clipping shares. Not here: their wording in a report.
#include "renderer/photograph/clipping.h"

#include <algorithm>
#include <stdexcept>

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

double largestChannel(glm::dvec3 c) {
    return std::max({c.x, c.y, c.z});
}

/// Whether the pixel would not be clipped without its highlight. The highlight's colour is taken
/// as the pixel's own: the film keeps its luminance alone, so
///     channel without highlight = channel * (1 - L_specular / L).
bool clippedByHighlight(double channel, const PixelLight& light) {
    const double highlight = light.all > 0.0 ? std::min(light.specular / light.all, 1.0) : 0.0;
    return channel * (1.0 - highlight) < kPictureClip;
}

double shareOf(double part, double whole) {
    return whole > 0.0 ? part / whole : 0.0;
}

}  // namespace

ClippingShares clippingShares(const Film& film, const std::vector<LayerMix>& mix,
                              const LinearImage& image) {
    if (image.pixel.size() != film.pixelCount() || mix.size() != film.layers().size())
        throw std::logic_error("clipping of a picture or a mix that is not this film's");
    ClippingShares s;
    double covered = 0.0;
    std::vector<double> byLayer(mix.size(), 0.0);
    for (std::size_t p = 0; p < film.pixelCount(); ++p) {
        if (film.samplesAt(p) == 0) continue;
        const double coverage =
            static_cast<double>(film.productHits(p)) / static_cast<double>(film.samplesAt(p));
        covered += coverage;
        const double channel = largestChannel(image.pixel[p]);
        if (channel < kPictureClip) continue;
        s.picture += 1.0;
        if (channel >= kRawClip) s.raw += 1.0;
        const PixelLight light = lightOf(film, mix, p);
        s.product += coverage;
        (clippedByHighlight(channel, light) ? s.specular : s.diffuse) += coverage;
        byLayer[light.strongest] += coverage;
    }
    const auto pixels = static_cast<double>(film.pixelCount());
    s.picture /= pixels;
    s.raw /= pixels;
    s.productCoverage = covered / pixels;
    for (double* part : {&s.product, &s.diffuse, &s.specular}) *part = shareOf(*part, covered);
    for (std::size_t l = 0; l < byLayer.size(); ++l)
        if (byLayer[l] > 0.0)
            s.byLight.push_back({l, film.layers()[l].name, shareOf(byLayer[l], covered)});
    return s;
}

}  // namespace keyfall
