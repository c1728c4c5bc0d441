// Clipping shares: sums over pixels. Not here: each pixel's verdict (clipped_pixels.h), wording.
#include "renderer/photograph/clipping.h"

namespace keyfall {
namespace {

double shareOf(double part, double whole) {
    return whole > 0.0 ? part / whole : 0.0;
}

}  // namespace

ClippingShares clippingShares(const Film& film, const std::vector<LayerMix>& mix,
                              const LinearImage& image) {
    return clippingShares(film, clippedPixels(film, mix, image));
}

ClippingShares clippingShares(const Film& film, const ClippedPixels& pixels) {
    ClippingShares s;
    double covered = 0.0;
    std::vector<double> byLayer(film.layers().size(), 0.0);
    for (std::size_t p = 0; p < film.pixelCount(); ++p) {
        if (film.samplesAt(p) == 0) continue;
        const double coverage =
            static_cast<double>(film.productHits(p)) / static_cast<double>(film.samplesAt(p));
        covered += coverage;
        if (pixels.kind[p] == Clipped::no) continue;
        s.picture += 1.0;
        s.raw += pixels.raw[p];
        s.product += coverage;
        (pixels.kind[p] == Clipped::specular ? s.specular : s.diffuse) += coverage;
        byLayer[pixels.layer[p]] += coverage;
    }
    const auto count = static_cast<double>(film.pixelCount());
    s.picture /= count;
    s.raw /= count;
    s.productCoverage = covered / count;
    for (double* part : {&s.product, &s.diffuse, &s.specular}) *part = shareOf(*part, covered);
    for (std::size_t l = 0; l < byLayer.size(); ++l)
        if (byLayer[l] > 0.0)
            s.byLight.push_back({l, film.layers()[l].name, shareOf(byLayer[l], covered)});
    return s;
}

}  // namespace keyfall
