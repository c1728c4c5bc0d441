// The fast way to the picture against the plain one, develop() and expose(). Not here: its speed
// (tools/bench).
#include "renderer/photograph/mixer.h"

#include <tbb/global_control.h>

#include <limits>
#include <random>

#include "renderer/photograph/exposure.h"
#include "renderer/photograph/srgb_table.h"
#include "renderer/photograph/view.h"
#include "scene/colour.h"
#include "tests/photograph/synthetic.h"

using namespace keyfall;
namespace syn = keyfall::synthetic;

namespace {

/// Smooth spectra and edges, over 9 stops; not a whole number of the mixer's tiles.
Film sampleFilm() {
    Film film = syn::film(67, 41, 3);
    std::mt19937 random(11);
    std::uniform_real_distribution<float> uniform(0.0F, 1.0F);
    for (std::size_t l = 0; l < 3; ++l)
        for (std::size_t p = 0; p < film.pixelCount(); ++p) {
            const float level = std::exp2(-9.0F * uniform(random)), slope = uniform(random) - 0.5F;
            for (int b = 0; b < kBands; ++b)
                film.cell(l, p).transferSum[static_cast<std::size_t>(b)] =
                    static_cast<float>(syn::kSamples) * level * (0.6F + slope * static_cast<float>(b - 8) / 8.0F);
        }
    film.samplesAt(5) = 0;                       // no samples: black
    film.cell(1, 7).transferSum.fill(0.0F);      // no light of one lamp
    film.cell(2, 9).transferSum.fill(1e12F);     // a lamp in the frame
    return film;
}

std::vector<LayerMix> threeLightsAt(double key = 0.5, double warm_K = 3200) {
    return {{key, bandXYZ(cieDaylight(5500))},
            {0.25, bandXYZ(planckian(warm_K))},
            {0.125, bandXYZ(cieDaylight(6500))}};
}

const glm::dvec3 kWhite = whiteOfTemperature(4500.0);

/// Worst difference of a channel over the pixel's largest.
double worstOf(const std::vector<float>& fast, const LinearImage& plain) {
    double worst = 0.0;
    for (std::size_t p = 0; p < plain.pixel.size(); ++p) {
        const glm::dvec3 c = plain.pixel[p];
        const double most = std::max({c.x, c.y, c.z, 1e-12});
        for (std::size_t i = 0; i < 3; ++i) {
            const auto value = static_cast<double>(fast[3 * p + i]);
            worst = std::max(worst, std::abs(value - c[static_cast<int>(i)]) / most);
        }
    }
    return worst;
}

}  // namespace

TEST_CASE("the mixer gives the picture of develop and expose after every change", "[mixer]") {
    const Film film = sampleFilm();
    Mixer mixer(film);
    REQUIRE(mixer.width() == 67);
    std::vector<std::vector<LayerMix>> mixes{threeLightsAt(), threeLightsAt(0.03), threeLightsAt(0.5, 2700),
                                             threeLightsAt(), threeLightsAt()};
    mixes[3][0].amount = 0.0;                            // off ...
    mixes[4][0] = {0.4, bandXYZ(planckian(3000))};       // ... and on in another colour
    for (const auto& mix : mixes)
        for (const double factor : {1.0, 0.02}) {
            const LinearImage plain = expose(develop(film, mix), factor, kWhite);
            CHECK(worstOf(mixer.linear(mix, factor, kWhite), plain) < 1e-4);
            const Srgb8Image view = renderView(plain, View::straight);
            const auto& codes = mixer.codes(mix, factor, kWhite);
            REQUIRE(codes.size() == view.rgb.size());
            std::size_t other = 0;
            for (std::size_t i = 0; i < codes.size(); ++i) {
                const int difference = std::abs(codes[i] - view.rgb[i]);
                CHECK(difference <= 1);
                other += difference != 0;
            }
            // A value within 1e-4 of a step: a code is 0.7 % wide or more, so at most 3 % may fall there.
            CHECK(static_cast<double>(other) < 0.01 * static_cast<double>(codes.size()));
        }
}

TEST_CASE("with all lights off the mixer's picture is black, also where it was not before", "[mixer]") {
    const Film film = sampleFilm();
    Mixer mixer(film);
    std::vector<LayerMix> mix = threeLightsAt();
    mixer.codes(mix, 1.0, kWhite);
    for (LayerMix& layer : mix) layer.amount = 0.0;
    const auto& codes = mixer.codes(mix, 1.0, kWhite);
    CHECK(std::all_of(codes.begin(), codes.end(), [](std::uint8_t c) { return c == 0; }));
    mix[0].amount = std::numeric_limits<double>::infinity();  // no number comes of it, nor a crash
    CHECK(mixer.codes(mix, 1.0, kWhite).size() == 3 * film.pixelCount());
    CHECK_THROWS_AS(mixer.codes({}, 1.0, kWhite), std::logic_error);
}

TEST_CASE("the mixer's table rounds as the view does, at every step of the curve", "[mixer]") {
    const SrgbTable table;
    const auto expected = [](float x) { return srgbCodes(glm::dvec3(static_cast<double>(x)))[0]; };
    for (int code = 0; code < 256; ++code) {
        // Both sides of each step, as near as floats go.
        const auto step = static_cast<float>(decodeSrgb((code - 0.5) / 255.0));
        for (float x = step * (1.0F - 4e-7F); x < step * (1.0F + 4e-7F); x = std::nextafter(x, 2.0F))
            if (x >= SrgbTable::kLeast && x <= 1.0F) CHECK(static_cast<int>(table.code(x)) == expected(x));
    }
    std::mt19937 random(2);
    std::uniform_real_distribution<float> octave(-13.0F, 0.0F);
    for (int i = 0; i < 20000; ++i) {
        const float x = std::exp2(octave(random));
        if (static_cast<int>(table.code(x)) != expected(x)) FAIL("at " << x);
    }
}

TEST_CASE("the mixer's picture is the same to the last byte for any number of threads", "[mixer]") {
    const Film film = sampleFilm();
    const auto codes = [&](std::size_t threads) {
        tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        Mixer mixer(film);
        return mixer.codes(threeLightsAt(), 0.7, kWhite);
    };
    CHECK(codes(1) == codes(2));
}
