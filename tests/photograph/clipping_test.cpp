// Clipping shares on a picture whose every pixel is known. Definitions: README, "Numbers";
// 141 % is ISO 12232's half stop of headroom. Not here: traced highlights (tests/meter).
#include "renderer/photograph/clipping.h"

#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
namespace syn = keyfall::synthetic;

namespace {

/// Ten pixels in a row, two lights in the same white; `value` is the linear value wanted.
struct Row {
    Film film = syn::film(10, 1, 2);
    BandXYZ bands = bandXYZ(cieDaylight(6500));
    std::vector<LayerMix> mix{{100.0, bands}, {50.0, bands}};

    void set(std::size_t pixel, std::size_t light, double value, double highlight = 0.0) {
        syn::setGrey(film, light, pixel, value / mix[light].amount);
        film.specularSum(light, pixel) =
            static_cast<float>(highlight / mix[light].amount * syn::kSamples);
    }
    void cover(std::size_t pixel, double coverage) {
        film.productHits(pixel) = static_cast<std::uint32_t>(coverage * syn::kSamples);
    }
    ClippingShares shares() const {
        return clippingShares(film, mix, expose(develop(film, mix), 1.0, whiteOfLight(bands)));
    }
};

}  // namespace

TEST_CASE("clipping: shares of the picture at 1, of the raw at 1.41", "[clipping]") {
    Row row;
    const double values[] = {0.2, 0.999, 1.001, 1.2, 1.405, 1.415, 3.0, 0.0, 0.5, 0.9};
    for (std::size_t p = 0; p < 10; ++p) row.set(p, 0, values[p]);
    const ClippingShares s = row.shares();
    CHECK_THAT(s.picture, WithinAbs(0.5, 1e-12));
    CHECK_THAT(s.raw, WithinAbs(0.2, 1e-12));
    CHECK(s.productCoverage == 0.0);
    CHECK(s.product == 0.0);
    CHECK(s.byLight.empty());
}

TEST_CASE("clipping: the product's share counts its covered area, also partly covered pixels",
          "[clipping]") {
    Row row;
    row.set(0, 0, 2.0);  // backdrop, clipped
    row.set(1, 0, 2.0);
    row.cover(1, 0.25);
    row.set(2, 0, 0.5);
    row.cover(2, 0.75);
    row.set(3, 0, 0.5);
    row.cover(3, 1.0);
    const ClippingShares s = row.shares();
    CHECK_THAT(s.picture, WithinAbs(0.2, 1e-12));
    CHECK_THAT(s.productCoverage, WithinAbs(0.2, 1e-12));
    CHECK_THAT(s.product, WithinAbs(0.25 / 2.0, 1e-12));
}

TEST_CASE("clipping: a highlight is to blame only where the surface alone would not clip",
          "[clipping]") {
    Row row;
    for (std::size_t p = 0; p < 10; ++p) row.cover(p, 1.0);
    row.set(0, 0, 1.5, 0.8);  // 0.7 without the highlight: specular
    row.set(1, 0, 1.5, 0.2);  // 1.3 without it: diffuse
    row.set(2, 0, 1.2, 1.2);  // all highlight
    row.set(3, 0, 0.9, 0.8);  // not clipped at all
    row.set(4, 0, 1.6, 0.7);  // 0.9 without it: specular
    row.set(5, 0, 2.0, 0.0);  // no highlight at all: diffuse
    const ClippingShares s = row.shares();
    CHECK_THAT(s.specular, WithinAbs(0.3, 1e-12));
    CHECK_THAT(s.diffuse, WithinAbs(0.2, 1e-12));
    CHECK_THAT(s.product, WithinAbs(s.diffuse + s.specular, 1e-12));
}

TEST_CASE("clipping: each clipped pixel is laid to its strongest light", "[clipping]") {
    Row row;
    for (std::size_t p = 0; p < 10; ++p) row.cover(p, 1.0);
    row.set(0, 0, 0.7);
    row.set(0, 1, 0.6);  // together 1.3, light 0 is stronger; per unit flux light 1 would be
    row.set(1, 0, 0.2);
    row.set(1, 1, 1.0);
    row.set(2, 1, 1.1);
    const ClippingShares s = row.shares();
    REQUIRE(s.byLight.size() == 2);
    CHECK(s.byLight[0].name == "light-0");
    CHECK_THAT(s.byLight[0].share, WithinAbs(0.1, 1e-12));
    CHECK_THAT(s.byLight[1].share, WithinAbs(0.2, 1e-12));
    CHECK_THAT(s.product, WithinAbs(0.3, 1e-12));
}

TEST_CASE("clipping: a saturated colour clips in one channel", "[clipping]") {
    Row row;
    row.bands = bandXYZ(planckian(3200));
    row.mix = {{100.0, row.bands}, {50.0, row.bands}};
    row.set(0, 0, 0.8);
    // Balanced for daylight, 0.8 of tungsten has red above 1 and luminance below.
    const LinearImage image = expose(develop(row.film, row.mix), 1.0, whiteOfTemperature(5500));
    REQUIRE(image.pixel[0].x > 1.0);
    REQUIRE(image.pixel[0].z < 1.0);
    CHECK_THAT(clippingShares(row.film, row.mix, image).picture, WithinAbs(0.1, 1e-12));
}

TEST_CASE("clipping: twice the light for half the power changes nothing", "[clipping]") {
    // Shares depend on the picture alone, so an exposure factor of 2 with half the light is the
    // same.
    Row row;
    for (std::size_t p = 0; p < 10; ++p) {
        row.cover(p, 0.5);
        row.set(p, 0, 0.15 * static_cast<double>(p), 0.07 * static_cast<double>(p));
    }
    const ClippingShares once = row.shares();
    std::vector<LayerMix> half = row.mix;
    for (LayerMix& m : half) m.amount *= 0.5;
    const ClippingShares same = clippingShares(
        row.film, half, expose(develop(row.film, half), 2.0, whiteOfLight(row.bands)));
    CHECK(once.picture > 0.0);
    CHECK(same.picture == once.picture);
    CHECK(same.specular == once.specular);
    CHECK(same.diffuse == once.diffuse);
}
