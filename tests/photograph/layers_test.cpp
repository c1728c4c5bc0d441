// Mixing layers after tracing: linear, exact, in absolute XYZ. Outside references: the lights' own
// chromaticity integrated at 1 nm and as published (CIE 15:2018).
#include "renderer/photograph/develop.h"

#include <tbb/global_control.h>

#include <cstring>
#include <map>
#include <random>

#include "scene/colour.h"
#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
namespace syn = keyfall::synthetic;

namespace {

/// A film whose cells are random but fixed.
Film randomFilm(int width, int height, std::size_t lights) {
    Film film = syn::film(width, height, lights);
    std::mt19937 random(5);
    std::uniform_real_distribution<float> uniform(0.0F, 3.0F);
    for (std::size_t l = 0; l < lights; ++l)
        for (std::size_t p = 0; p < film.pixelCount(); ++p)
            for (float& t : film.cell(l, p).transferSum) t = uniform(random);
    return film;
}

std::vector<LayerMix> threeLights() {
    return {{420.0, bandXYZ(cieDaylight(5500))},
            {37.5, bandXYZ(planckian(3200))},
            {0.8, bandXYZ(cieDaylight(6500))}};
}

bool sameBytes(const XyzImage& a, const XyzImage& b) {
    return a.pixel.size() == b.pixel.size() &&
           std::memcmp(a.pixel.data(), b.pixel.data(), a.pixel.size() * sizeof(glm::dvec3)) == 0;
}

/// XYZ of a table on a 1 nm grid, Y = 1, summed here and not by the bands.
glm::dvec3 integrated(const SpectrumTable& table) {
    const FineSpectrum s = resample(table);
    glm::dvec3 sum(0.0);
    for (std::size_t i = 0; i < FineSpectrum::kCount; ++i)
        sum += s.value[i] *
               glm::dvec3(observerX().value[i], observerY().value[i], observerZ().value[i]);
    return sum / sum.y;
}

/// CIE 15:2018, 2 degree observer.
const std::map<std::string, Chromaticity> kPublished{{"a", {.44758, .40745}},
                                                     {"d50", {.34567, .35851}},
                                                     {"d55", {.33243, .34744}},
                                                     {"d65", {.31272, .32903}}};

}  // namespace

TEST_CASE("a grey card has the light's own xy and Y, under every CIE illuminant", "[layers][law]") {
    const auto illuminants = syn::cieIlluminants();
    REQUIRE(illuminants.size() == 13);
    for (const auto& light : illuminants) {
        INFO(light.name);
        Film film = syn::film(1, 1, 1);
        syn::setGrey(film, 0, 0, 0.18 / syn::kPi);
        const BandXYZ bands = bandXYZ(resample(light.table));
        const glm::dvec3 xyz = develop(film, {{320.0, bands}}).pixel[0];

        CHECK_THAT(xyz.y, WithinRel(0.18 * 320.0 / syn::kPi, 1e-4));
        const Chromaticity seen = chromaticity(xyz);
        const Chromaticity own = chromaticity(integrated(light.table));
        CHECK_THAT(seen.x, WithinAbs(own.x, 1e-4));
        CHECK_THAT(seen.y, WithinAbs(own.y, 1e-4));
        const auto published = kPublished.find(light.name);
        if (published == kPublished.end()) continue;  // LEDs: no open table of their xy at hand
        CHECK_THAT(seen.x, WithinAbs(published->second.x, 1e-4));
        CHECK_THAT(seen.y, WithinAbs(published->second.y, 1e-4));
    }
}

TEST_CASE("twice the power is one stop more in every pixel, exactly", "[layers][law]") {
    const Film film = randomFilm(7, 5, 1);
    const BandXYZ bands = bandXYZ(planckian(3200));
    const XyzImage once = develop(film, {{1.7, bands}});
    const XyzImage twice = develop(film, {{3.4, bands}});
    for (std::size_t p = 0; p < once.pixel.size(); ++p) {
        CHECK(twice.pixel[p] == 2.0 * once.pixel[p]);  // a power of two costs no digit
        CHECK(std::log2(twice.pixel[p].y / once.pixel[p].y) == 1.0);
    }
}

TEST_CASE("a light switched off leaves exactly the other layers", "[layers]") {
    Film film = randomFilm(7, 5, 3);
    // What an unlit layer holds must not matter, not even what times zero would not remove.
    film.cell(1, 3).transferSum[2] = std::numeric_limits<float>::infinity();
    std::vector<LayerMix> mix = threeLights();
    mix[1].amount = 0.0;
    mix[2].amount = 0.0;
    CHECK(sameBytes(develop(film, mix), developLayer(film, 0, mix[0])));
    CHECK(luminanceAt(film, mix, 3) == Approx(develop(film, mix).pixel[3].y).epsilon(1e-12));
    for (const glm::dvec3& xyz : developLayer(film, 1, mix[1]).pixel) CHECK(xyz == glm::dvec3(0.0));
}

TEST_CASE("the layers add up to the picture", "[layers][law]") {
    const Film film = randomFilm(7, 5, 3);
    const std::vector<LayerMix> mix = threeLights();
    const XyzImage all = develop(film, mix);
    for (std::size_t p = 0; p < all.pixel.size(); ++p) {
        glm::dvec3 sum(0.0);
        for (std::size_t l = 0; l < 3; ++l) sum += developLayer(film, l, mix[l]).pixel[p];
        for (int c = 0; c < 3; ++c) CHECK_THAT(all.pixel[p][c], WithinRel(sum[c], 1e-14));
        CHECK_THAT(all.pixel[p].y, WithinRel(luminanceAt(film, mix, p), 1e-12));
    }
}

TEST_CASE("a light's colour can be changed after tracing", "[layers][law]") {
    // A gel or another lamp is another bandXYZ: the same flux in another colour keeps a grey
    // card's luminance and takes the new light's chromaticity.
    Film film = syn::film(1, 1, 1);
    syn::setGrey(film, 0, 0, 0.5);
    const BandXYZ tungsten = bandXYZ(planckian(3200));
    const glm::dvec3 day = develop(film, {{10.0, bandXYZ(cieDaylight(5500))}}).pixel[0];
    const glm::dvec3 warm = develop(film, {{10.0, tungsten}}).pixel[0];
    CHECK_THAT(warm.y, WithinRel(day.y, 1e-6));
    // Planckian 3200 K (CIE 15 observer; recomputed open table).
    CHECK_THAT(chromaticity(warm).x, WithinAbs(0.4234, 1.5e-4));
    CHECK_THAT(chromaticity(warm).y, WithinAbs(0.3990, 1.5e-4));
}

TEST_CASE("the same bytes for 1, 2 and 7 threads", "[layers]") {
    const Film film = randomFilm(64, 48, 3);
    const auto developed = [&](std::size_t threads) {
        const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        return develop(film, threeLights());
    };
    const XyzImage one = developed(1);
    CHECK(sameBytes(one, developed(2)));
    CHECK(sameBytes(one, developed(7)));
}

TEST_CASE("a pixel without samples is black, and a mix that does not fit is our mistake",
          "[layers]") {
    Film film = randomFilm(2, 1, 1);
    film.samplesAt(1) = 0;
    CHECK(develop(film, {threeLights()[0]}).pixel[1] == glm::dvec3(0.0));
    CHECK_THROWS_AS(develop(film, threeLights()), std::logic_error);
    CHECK_THROWS_AS(developLayer(film, 1, threeLights()[0]), std::logic_error);
}
