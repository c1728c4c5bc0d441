// The noise of the calculation taken out of a picture whose truth is known. Not here: the sensor's noise.
#include <catch2/catch.hpp>

#include <random>

#include "renderer/photograph/exposure.h"
#include "renderer/photograph/smooth.h"
#include "synthetic.h"

using namespace keyfall;

namespace {

constexpr int kWidth = 40, kHeight = 30;

/// Each pixel `truth(x, y)` times a normal error of `relative`, in four replicates of twice that.
template <class Truth>
Film noisyFilm(double relative, const Truth& truth) {
    Film film = synthetic::film(kWidth, kHeight, 1);
    std::mt19937 random(5);
    std::normal_distribution<double> normal(0.0, 2.0 * relative);
    for (std::size_t p = 0; p < film.pixelCount(); ++p) {
        const double value = truth(static_cast<int>(p) % kWidth, static_cast<int>(p) / kWidth);
        double mean = 0.0;
        for (float& sum : film.cell(0, p).replicateSum) {
            const double one = value * (1.0 + normal(random));
            sum = static_cast<float>(one * synthetic::kSamples / kPictureReplicates);
            mean += one / kPictureReplicates;
        }
        synthetic::setGrey(film, 0, p, mean);
    }
    return film;
}

struct Smoothed {
    XyzImage picture, electrons;
    double noise_stops = 0.0;

    explicit Smoothed(const Film& film) {
        const std::vector<LayerMix> mix{{1.0, bandXYZ(cieDaylight(5500.0))}};
        picture = electrons = develop(film, mix);
        for (glm::dvec3& e : electrons.pixel) e *= 1000.0;
        noise_stops = smoothNoise(film, mix, picture, electrons);
    }
};

}  // namespace

TEST_CASE("smoothing an even picture takes its noise out, keeps its mean and says what is left", "[smooth]") {
    // 20 % in each of 1200 pixels: their mean is known to 0.2/sqrt(1200) = 0.006. Far from the border 441 pixels
    // bring at best 0.2/21 = 0.01; in a corner a quarter of them, 0.02.
    const Smoothed s(noisyFilm(0.2, [](int, int) { return 1.0; }));
    double mean = 0.0;
    double square = 0.0;
    for (const glm::dvec3& c : s.picture.pixel) {
        mean += c.y / static_cast<double>(s.picture.pixel.size());
        square += (c.y - 1.0) * (c.y - 1.0) / static_cast<double>(s.picture.pixel.size());
    }
    CHECK(mean == Approx(1.0).margin(4.0 * 0.006));
    CHECK(std::sqrt(square) < 0.02);
    CHECK(s.electrons.at(20, 15).y == Approx(1000.0 * s.picture.at(20, 15).y).epsilon(1e-5));
    // Stops are ln 2 of it; a 95th percentile of three degrees of freedom is 1.6 standard errors.
    const double left = std::log(2.0) * s.noise_stops;
    CHECK(left > 0.01);
    CHECK(left < 0.04);
}

TEST_CASE("smoothing leaves an edge where it is", "[smooth]") {
    const Smoothed s(noisyFilm(0.1, [](int x, int y) { return x + y / 3 < 25 ? 1.0 : 0.25; }));
    for (int y = 5; y < 25; ++y) {
        CHECK(s.picture.at(24 - y / 3, y).y == Approx(1.0).epsilon(0.12));
        CHECK(s.picture.at(25 - y / 3, y).y == Approx(0.25).epsilon(0.12));
    }
}

TEST_CASE("what has no noise is not smoothed", "[smooth]") {
    const auto truth = [](int x, int y) { return 1.0 + 0.02 * ((x / 2 + y) % 2); };
    const Smoothed s(noisyFilm(0.0, truth));
    for (int y = 0; y < kHeight; ++y)
        for (int x = 0; x < kWidth; ++x) CHECK(s.picture.at(x, y).y == Approx(truth(x, y)).epsilon(1e-3));
    CHECK(s.noise_stops < 1e-6);
}

TEST_CASE("a speck that one path made is taken out", "[smooth]") {
    Film film = noisyFilm(0.05, [](int, int) { return 1.0; });
    const std::size_t speck = 15 * kWidth + 20;
    film.cell(0, speck).replicateSum[2] += 30.0F * synthetic::kSamples;
    synthetic::setGrey(film, 0, speck, 31.0);
    CHECK(Smoothed(film).picture.at(20, 15).y < 2.0);
}
