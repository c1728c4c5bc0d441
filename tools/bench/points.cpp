// How many independent samples the scrambled Sobol points are worth on the whole demo picture.
//
// Both estimates are unbiased, so their mean squared error is their variance, and two runs A, B
// with different seeds measure it without a reference: E (A - B)^2 = 2 MSE. Independent samples
// have MSE ~ 1/n exactly, so equal error takes MSE_independent / MSE_Sobol times as many of them.
// Two measures: relative (each pixel's error over its own luminance: an error in stops, every
// pixel counts alike) and absolute (luminance, clipped nowhere: the brightest spots rule it).
#include <fmt/core.h>

#include "bench.h"
#include "renderer/transport/layers.h"

namespace keyfall::bench {
namespace {

using Luminances = std::vector<double>;

Luminances picture(const Stage& stage, int samples, std::uint32_t seed, bool independent) {
    const Scene& scene = stage.scene();
    Film film(scene.picture.width_px, scene.picture.height_px, layerInfos(scene));
    RenderSettings settings = fixedSamples(samples, 0, seed);
    settings.independentPoints = independent;
    render(stage, film, settings);
    const auto mix = mixAsSet(scene, scene.camera.shutter_s.exact);
    Luminances out(film.pixelCount());
    for (std::size_t p = 0; p < out.size(); ++p) out[p] = luminanceAt(film, mix, p);
    return out;
}

struct Error {
    double relative = 0.0;
    double absolute = 0.0;
};

/// `level`: a pixel's luminance for the relative error, the same for both opponents.
Error errorOf(const Luminances& a, const Luminances& b, const Luminances& level) {
    Error e;
    for (std::size_t p = 0; p < a.size(); ++p) {
        if (!(level[p] > 0.0)) continue;
        const double squared = 0.5 * (a[p] - b[p]) * (a[p] - b[p]) / static_cast<double>(a.size());
        e.absolute += squared;
        e.relative += squared / (level[p] * level[p]);
    }
    return e;
}

void compare(const Stage& stage, int samples, int pairs, double goal) {
    std::vector<double> relative, absolute;
    for (int i = 0; i < pairs; ++i) {
        const auto seed = static_cast<std::uint32_t>(100 + 4 * i);
        const Luminances a = picture(stage, samples, seed, false);
        const Luminances b = picture(stage, samples, seed + 1, false);
        const Luminances c = picture(stage, samples, seed + 2, true);
        const Luminances d = picture(stage, samples, seed + 3, true);
        Luminances level(a.size());
        for (std::size_t p = 0; p < a.size(); ++p) level[p] = 0.25 * (a[p] + b[p] + c[p] + d[p]);
        const Error sobol = errorOf(a, b, level);
        const Error independent = errorOf(c, d, level);
        relative.push_back(independent.relative / sobol.relative);
        absolute.push_back(independent.absolute / sobol.absolute);
    }
    const Spread s = spreadOf(relative);
    printGoal(fmt::format("{} samples (4 x {}), relative MSE", samples, samples / 4),
              text(s, 2) + " x fewer", fmt::format(">= {}", goal), s.median >= goal);
    fmt::print("  {:34} {} x fewer\n", "    absolute MSE", text(spreadOf(absolute), 2));
}

}  // namespace

void benchPoints(const Settings& settings) {
    const Scene scene = demoScene(settings.width_px / 2);
    const Stage stage(scene);
    fmt::print("Owen-scrambled Sobol against independent samples: demo, {} px, pairs of seeds\n",
               settings.width_px / 2);
    compare(stage, 64, 3, 1.5);
    compare(stage, 256, 1, 1.9);
}

}  // namespace keyfall::bench
