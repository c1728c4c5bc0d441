// Sums transfer layers into XYZ. Not here: what the amounts mean (film.h, LayerMix).
#include "renderer/photograph/develop.h"

#include <array>
#include <stdexcept>
#include <string>

#include "renderer/film/parallel.h"

namespace keyfall {
namespace {

/// amount * bandXYZ of a layer, split by X, Y, Z so that the inner loop runs over bands.
struct LayerWeights {
    std::size_t layer = 0;
    std::array<double, kBands> x{}, y{}, z{};
};

LayerWeights weightsOf(std::size_t layer, const LayerMix& mix) {
    LayerWeights w;
    w.layer = layer;
    for (std::size_t b = 0; b < kBands; ++b) {
        w.x[b] = mix.amount * mix.bands.xyz[b].x;
        w.y[b] = mix.amount * mix.bands.xyz[b].y;
        w.z[b] = mix.amount * mix.bands.xyz[b].z;
    }
    return w;
}

glm::dvec3 weightedSum(const FilmCell& cell, const LayerWeights& w) {
    double x = 0.0;
    double y = 0.0;
    double z = 0.0;
    for (std::size_t b = 0; b < kBands; ++b) {
        const auto transfer = static_cast<double>(cell.transferSum[b]);
        x += transfer * w.x[b];
        y += transfer * w.y[b];
        z += transfer * w.z[b];
    }
    return {x, y, z};
}

XyzImage sumLayers(const Film& film, const std::vector<LayerWeights>& weights) {
    XyzImage image;
    image.width_px = film.width();
    image.height_px = film.height();
    image.pixel.resize(film.pixelCount(), glm::dvec3(0.0));
    // A pixel is one thread's business and its layers are added in the film's order, so the sum
    // does not know how many threads there are.
    parallelFor(film.pixelCount(), [&](std::size_t p) {
        const std::uint32_t samples = film.samplesAt(p);
        if (samples == 0) return;
        glm::dvec3 sum(0.0);
        for (const LayerWeights& w : weights) sum += weightedSum(film.cell(w.layer, p), w);
        image.pixel[p] = sum / static_cast<double>(samples);
    });
    return image;
}

}  // namespace

XyzImage develop(const Film& film, const std::vector<LayerMix>& mix) {
    if (mix.size() != film.layers().size())
        throw std::logic_error("a mix of " + std::to_string(mix.size()) + " layers for a film of " +
                               std::to_string(film.layers().size()));
    std::vector<LayerWeights> weights;
    for (std::size_t l = 0; l < mix.size(); ++l)
        if (mix[l].amount != 0.0) weights.push_back(weightsOf(l, mix[l]));  // off: not even times 0
    return sumLayers(film, weights);
}

XyzImage developLayer(const Film& film, std::size_t layer, const LayerMix& mix) {
    if (layer >= film.layers().size())
        throw std::logic_error("layer " + std::to_string(layer) + " of a film of " +
                               std::to_string(film.layers().size()));
    if (mix.amount == 0.0) return sumLayers(film, {});
    return sumLayers(film, {weightsOf(layer, mix)});
}

}  // namespace keyfall
