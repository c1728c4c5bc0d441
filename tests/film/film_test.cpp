// The Film: sums, luminance of a mix and the noise figure, on synthetic pixels whose true noise is
// known. Not here: traced films (tests/transport).
#include "renderer/film/film.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <random>

#include "renderer/film/memory.h"

using namespace keyfall;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr std::uint32_t kSamples = 64;

std::vector<LayerInfo> named(std::size_t count) {
    std::vector<LayerInfo> layers(count);
    for (std::size_t l = 0; l < count; ++l) layers[l].name = "light-" + std::to_string(l);
    return layers;
}

/// Luminance weights that sum to 1 and differ from band to band.
BandXYZ slopedBands() {
    BandXYZ bands;
    for (std::size_t b = 0; b < kBands; ++b)
        bands.xyz[b].y = (static_cast<double>(b) + 1.0) / (kBands * (kBands + 1) / 2.0);
    return bands;
}

void fillSamples(Film& film) {
    for (std::size_t p = 0; p < film.pixelCount(); ++p) film.samplesAt(p) = kSamples;
}

/// A pixel of mean luminance `mean`: replicates alternate between mean (1 - e) and mean (1 + e).
/// Relative variance of their mean: 4 e^2 / (4 * 3), so its error is e / sqrt(3) / ln 2 stops.
void alternate(Film& film, std::size_t layer, std::size_t pixel, double mean, double e) {
    FilmCell& cell = film.cell(layer, pixel);
    for (std::size_t r = 0; r < kPictureReplicates; ++r)
        cell.replicateSum[r] =
            static_cast<float>(mean * kSamples / 4 * (r % 2 == 0 ? 1 - e : 1 + e));
    cell.transferSum.fill(static_cast<float>(mean * kSamples));
}
double alternating_stops(double e) {
    return e / std::sqrt(3.0) / std::log(2.0);
}

}  // namespace

TEST_CASE("a film cell is 80 bytes", "[film]") {
    // 16 float sums and 4 replicate luminances; the memory figures in README count on it.
    CHECK(sizeof(FilmCell) == 80);
    CHECK(filmBytes(960, 640, 3) == 960ULL * 640 * (3 * 84 + 8));
    CHECK(filmBytes(2000000000, 2000000000, 1000) == std::numeric_limits<std::uint64_t>::max());
}

TEST_CASE("a film that memory would not hold is refused with both figures", "[film]") {
    CHECK_THROWS_WITH(Film(1000000, 1000000, named(3)),
                      Contains("260000000000000 bytes (260000.0 GB)") && Contains("are free"));
    CHECK_THROWS_WITH(requireMemory(2000, 1000), Contains("2000 bytes") && Contains("1000 bytes"));
    // A type of its own: the program tells it from its own mistakes.
    CHECK_THROWS_AS(Film(1000000, 1000000, named(3)), MemoryError);
    CHECK_NOTHROW(requireMemory(1000, 1000));
    CHECK_NOTHROW(requireMemory(1000, 0));  // unknown: the allocation decides
    CHECK(availableBytes() > (1ULL << 20));
    CHECK_THROWS_AS(Film(0, 10, named(1)), std::logic_error);
}

TEST_CASE("luminance of a pixel is the weighted sum of its transfers over its samples", "[film]") {
    Film film(2, 1, named(2));
    fillSamples(film);
    film.samplesAt(1) = 0;
    for (std::size_t b = 0; b < kBands; ++b) {
        film.cell(0, 0).transferSum[b] = static_cast<float>(kSamples * (b + 1));
        film.cell(1, 0).transferSum[b] = static_cast<float>(kSamples);
    }
    // sum b * b / sum b over 1..16 = (2*16+1)/3 = 11 (closed form), and 1.
    const std::vector<LayerMix> mix{{3.0, slopedBands()}, {0.5, slopedBands()}};
    CHECK_THAT(luminanceAt(film, mix, 0), WithinRel(3.0 * 11.0 + 0.5, 1e-12));
    CHECK(luminanceAt(film, mix, 1) == 0.0);
    CHECK(film.transfer(0, 0)[15] == 16.0F);
    CHECK(film.transfer(0, 1).isBlack());
    CHECK_THROWS_AS(luminanceAt(film, {mix[0]}, 0), std::logic_error);
}

TEST_CASE("noise map: its figure is the true standard error of the pixels", "[film][noise]") {
    // Each sample is normal with relative sigma 0.4; the mean of 64 has 0.4/8 = 5 %, which is
    // 0.05/ln 2 = 0.0721 stop. Two lights: their variances add with the squares of the amounts.
    const int size = 96;
    Film film(size, size, named(2));
    fillSamples(film);
    std::mt19937_64 random(11);
    const double perReplicate = kSamples / 4.0;
    std::normal_distribution<double> normal(0.0, 0.4 * std::sqrt(perReplicate));
    for (std::size_t p = 0; p < film.pixelCount(); ++p)
        for (std::size_t l = 0; l < 2; ++l)
            for (float& sum : film.cell(l, p).replicateSum)
                sum = static_cast<float>(perReplicate + normal(random));

    const double amountA = GENERATE(1.0, 3.0);
    const double amountB = GENERATE(0.0, 1.0);
    const std::vector<LayerMix> mix{{amountA, slopedBands()}, {amountB, slopedBands()}};
    const double relVar = (amountA * amountA + amountB * amountB) * 0.0025 /
                          ((amountA + amountB) * (amountA + amountB));
    double mean = 0.0;
    for (const float n : noiseMap_stops(film, mix))
        mean += static_cast<double>(n) * static_cast<double>(n) / (size * size);
    // 9216 pixels x 3 degrees of freedom: the variance is known within sqrt(2/27648) = 0.85 %.
    CHECK_THAT(mean * std::log(2.0) * std::log(2.0), WithinRel(relVar, 4 * 0.0085));
}

TEST_CASE("noise map: exact on replicates that alternate, whatever the exposure", "[film][noise]") {
    Film film(5, 4, named(1));
    fillSamples(film);
    for (std::size_t p = 0; p < film.pixelCount(); ++p)
        alternate(film, 0, p, std::exp2(static_cast<double>(p % 7)), 0.1);
    for (const float n : noiseMap_stops(film, {{1234.5, slopedBands()}}))
        CHECK_THAT(static_cast<double>(n), WithinRel(alternating_stops(0.1), 1e-5));
}

TEST_CASE("noise map: a dark pixel beside a lamp does not inherit its absolute noise",
          "[film][noise]") {
    Film film(3, 1, named(1));
    fillSamples(film);
    alternate(film, 0, 0, 1e6, 0.1);
    alternate(film, 0, 1, 1.0, 0.1);
    alternate(film, 0, 2, 1.0, 0.1);
    const auto noise = noiseMap_stops(film, {{1.0, slopedBands()}});
    CHECK_THAT(static_cast<double>(noise[1]), WithinRel(alternating_stops(0.1), 1e-5));
}

TEST_CASE("noise map: the neighbours that are not black are pooled as variances", "[film][noise]") {
    Film film(3, 3, named(1));
    fillSamples(film);
    alternate(film, 0, 4, 1.0, 0.3);
    alternate(film, 0, 0, 1.0, 0.1);
    const auto noise = noiseMap_stops(film, {{1.0, slopedBands()}});
    // Two lit pixels of nine: sqrt((0.3^2 + 0.1^2) / 2).
    CHECK_THAT(static_cast<double>(noise[4]), WithinRel(alternating_stops(std::sqrt(0.05)), 1e-5));
    CHECK(noise[8] == 0.0F);  // black
}

TEST_CASE("noise map: a noisy pixel reaches its eight neighbours and no further", "[film][noise]") {
    // One noisy pixel among clean ones: inside, nine pixels are pooled, so sqrt(e^2 / 9).
    Film film(7, 7, named(1));
    fillSamples(film);
    for (std::size_t p = 0; p < film.pixelCount(); ++p) alternate(film, 0, p, 1.0, 0.0);
    alternate(film, 0, 3 * 7 + 3, 1.0, 0.3);
    const auto noise = noiseMap_stops(film, {{1.0, slopedBands()}});
    for (int y = 0; y < 7; ++y)
        for (int x = 0; x < 7; ++x) {
            INFO(x << ", " << y);
            const bool near = std::abs(x - 3) <= 1 && std::abs(y - 3) <= 1;
            CHECK_THAT(static_cast<double>(noise[static_cast<std::size_t>(7 * y + x)]),
                       WithinAbs(near ? alternating_stops(0.1) : 0.0, 1e-5));
        }
}

TEST_CASE("picture noise is the 95th percentile over the pixels that are not black",
          "[film][noise]") {
    // Vertical bands of black, of clean and of noisy pixels; a band's edge pools with its
    // neighbour.
    const int width = 300;
    Film film(width, 10, named(1));
    fillSamples(film);
    const int noisyColumns = GENERATE(3, 12);
    for (std::size_t p = 0; p < film.pixelCount(); ++p) {
        const int x = static_cast<int>(p) % width;
        if (x < 200) alternate(film, 0, p, 1.0, x < noisyColumns ? 0.2 : 0.1);
    }
    const double noise = pictureNoise_stops(film, {{1.0, slopedBands()}});
    // 4 of 200 lit columns stay under 5 %, 12 are over; with the 100 black ones counted as clean,
    // 12 of 300 would be under it as well.
    CHECK_THAT(noise, WithinRel(alternating_stops(noisyColumns == 12 ? 0.2 : 0.1), 1e-5));
    CHECK(pictureNoise_stops(film, {{0.0, slopedBands()}}) == 0.0);
}
