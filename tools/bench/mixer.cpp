// Re-lighting a finished picture: 1.5 million pixels, three lights. Beside each figure stands the time
// that merely reading as many bytes takes on the same threads: what memory allows.
#include <fmt/core.h>

#include <numeric>

#include "bench.h"
#include "renderer/film/parallel.h"
#include "renderer/photograph/exposure.h"
#include "renderer/photograph/mixer.h"
#include "renderer/photograph/view.h"

namespace keyfall::bench {
namespace {

constexpr int kWidth_px = 1500, kHeight_px = 1000;

/// Any light will do: the work does not depend on the values.
Film litFilm() {
    Film film(kWidth_px, kHeight_px, {{"a", LayerKind::light, 0, bandXYZ(cieDaylight(5500))},
                                      {"b", LayerKind::light, 1, bandXYZ(planckian(3200))},
                                      {"c", LayerKind::light, 2, bandXYZ(cieDaylight(6500))}});
    parallelFor(film.pixelCount(), [&](std::size_t p) {
        film.samplesAt(p) = 1;
        for (std::size_t l = 0; l < 3; ++l)
            for (std::size_t b = 0; b < kBands; ++b)
                film.cell(l, p).transferSum[b] = 1e-5F * static_cast<float>((p * (l + 3) + 977 * b) % 9973);
    });
    return film;
}

/// By the wall clock; and processor time of all threads together, which other programs disturb less: half
/// of it is the wall clock of two quiet cores.
struct Times {
    Spread wall_ms, processor_ms;
};

template <class Work>
Times timesOf(int repeats, const Work& work) {
    work(0);  // pages touched
    std::vector<double> wall_ms, processor_ms;
    for (int i = 1; i <= repeats; ++i) {
        const double start_s = steadySeconds(), startProcessor_s = cpuSeconds();
        work(i);
        wall_ms.push_back(1e3 * (steadySeconds() - start_s));
        processor_ms.push_back(1e3 * (cpuSeconds() - startProcessor_s));
    }
    return {spreadOf(wall_ms), spreadOf(processor_ms)};
}

/// Reads `megabytes` of numbers on all threads and does next to nothing with them.
Times reading(int repeats, double megabytes) {
    constexpr std::size_t kBlock = 4096;
    const std::vector<std::uint64_t> data(static_cast<std::size_t>(megabytes * 1e6 / 8.0), 1);
    std::vector<std::uint64_t> sums(data.size() / kBlock);
    return timesOf(repeats, [&](int) {
        parallelFor(sums.size(), [&](std::size_t i) {
            const auto first = data.begin() + static_cast<std::ptrdiff_t>(i * kBlock);
            sums[i] = std::accumulate(first, first + kBlock, std::uint64_t{0});
        });
    });
}

void row(const std::string& name, const Times& t, double goal_ms) {
    printGoal(name, text(t.wall_ms, 2) + " ms", fmt::format("<= {:g} ms", goal_ms), t.wall_ms.median <= goal_ms);
    fmt::print("  {:34} {} ms\n", "    processor time, both cores", text(t.processor_ms, 2));
}

double ratio(const Times& a, const Times& b) { return a.processor_ms.median / b.processor_ms.median; }

}  // namespace

void benchMixer(const Settings& settings) {
    const Film film = litFilm();
    Mixer mixer(film);
    const glm::dvec3 white = whiteOfTemperature(5500.0);
    const std::vector<BandXYZ> colours{bandXYZ(planckian(3000)), bandXYZ(cieDaylight(5000))};
    std::vector<LayerMix> mix;
    for (const LayerInfo& layer : film.layers()) mix.push_back({1.0, layer.bands});
    const int repeats = 4 * settings.repeats;
    fmt::print("Re-lighting without tracing: {} x {} px, 3 layers, all cores, wall clock\n", kWidth_px, kHeight_px);
    const Times power = timesOf(repeats, [&](int i) {
        mix[0].amount = 1.0 + 0.01 * i;
        mixer.codes(mix, 0.5, white);
    });
    row("power, exposure, white: 8 bits", power, 5.0);
    row("the same, linear floats", timesOf(repeats, [&](int i) {
            mix[1].amount = 1.0 + 0.01 * i;
            mixer.linear(mix, 0.5, white);
        }), 5.0);
    row("one light off: 8 bits", timesOf(repeats, [&](int i) {
            mix[1].amount = i % 2;
            mixer.codes(mix, 0.5, white);
        }), 5.0);
    mix[1].amount = 1.0;
    const Times colour = timesOf(repeats, [&](int i) {
        for (LayerMix& layer : mix) layer.bands = colours[static_cast<std::size_t>(i % 2)];
        mixer.codes(mix, 0.5, white);
    });
    row("colour of all three: 8 bits", colour, 25.0);
    row("colour of one: 8 bits", timesOf(repeats, [&](int i) {
            mix[0].bands = colours[static_cast<std::size_t>(i % 2)];
            mixer.codes(mix, 0.5, white);
        }), 25.0);
    const double pixels = 1e-6 * kWidth_px * kHeight_px;
    const Times planes = reading(repeats, pixels * 24), bands = reading(repeats, pixels * 132);
    row("reading 24 bytes a pixel alone", planes, 5.0);
    row("reading 132 bytes a pixel alone", bands, 25.0);
    fmt::print("  processor time over that of reading: power {:.1f}, colour {:.1f}\n", ratio(power, planes), ratio(colour, bands));
    const Times plain = timesOf(settings.repeats, [&](int) {
        renderView(expose(develop(film, mix), 0.5, white), View::straight);
    });
    fmt::print("  develop, expose and view: {} ms of processor time, {:.0f} times the mixer's power\n", text(plain.processor_ms, 1), ratio(plain, power));
}

}  // namespace keyfall::bench
