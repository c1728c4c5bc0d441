// White balance: the white renders neutral and keeps its luminance. Not here: the Bradford matrix
// itself (tests/scene).
#include "renderer/photograph/exposure.h"

#include "renderer/photograph/view.h"
#include "scene/colour.h"
#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
namespace syn = keyfall::synthetic;

TEST_CASE("white balance on the light renders greys neutral, under every CIE illuminant",
          "[white][law]") {
    // The definition of a white balance; within 1 code for 2 %, 18 % and 90 % grey.
    for (const auto& light : syn::cieIlluminants()) {
        INFO(light.name);
        const BandXYZ bands = bandXYZ(resample(light.table));
        const glm::dvec3 white = whiteOfLight(bands);
        for (const double grey : {0.02, 0.18, 0.90}) {
            Film film = syn::film(1, 1, 1);
            syn::setGrey(film, 0, 0, grey / syn::kPi);
            const LinearImage image = expose(develop(film, {{syn::kMetered_lxs, bands}}),
                                             pictureFactor(syn::camera()), white);
            const auto rgb = srgbCodes(image.pixel[0]);
            const int expected = static_cast<int>(std::lround(255 * encodeSrgb(grey)));
            for (const int code : rgb) CHECK(std::abs(code - expected) <= 1);
            for (int c = 0; c < 3; ++c) CHECK_THAT(image.pixel[0][c], WithinRel(grey, 2e-4));
        }
    }
}

TEST_CASE("a wrong white shows: tungsten under a daylight balance is orange", "[white]") {
    const glm::dvec3 tungsten = whiteOfTemperature(3200);
    const glm::dvec3 rgb = balancedSrgbFromXyz(whiteOfTemperature(5500)) * tungsten;
    CHECK(rgb.x > 1.3 * rgb.y);
    CHECK(rgb.z < 0.6 * rgb.y);
}

TEST_CASE("a D65 white leaves sRGB as it is", "[white][law]") {
    // IEC 61966-2-1: adaptation from D65 to D65 is the identity.
    const glm::dmat3 balanced = balancedSrgbFromXyz(whiteD65());
    for (int c = 0; c < 3; ++c)
        for (int r = 0; r < 3; ++r)
            CHECK_THAT(balanced[c][r], WithinAbs(linearSrgbFromXyz()[c][r], 1e-9));
}

TEST_CASE("the camera's white is its kelvin, its light, or what the meter found", "[white]") {
    std::vector<Light> lights(2);
    lights[1].bands = bandXYZ(planckian(2856));
    Camera camera;
    const glm::dvec3 found{9.0, 10.0, 8.0};
    camera.whiteBalance = 2856.0;
    const glm::dvec3 kelvin = cameraWhite(camera, lights, found);
    camera.whiteBalance = std::size_t{1};
    const glm::dvec3 light = cameraWhite(camera, lights, found);
    // Below 4000 K a colour temperature is Planckian, so both are illuminant A.
    for (int c = 0; c < 3; ++c) CHECK_THAT(kelvin[c], WithinRel(light[c], 1e-6));
    CHECK_THAT(chromaticity(light).x, WithinAbs(0.4476, 2e-4));
    camera.whiteBalance = Camera::Auto{};
    CHECK(cameraWhite(camera, lights, found) == found / 10.0);
}

TEST_CASE("with every light off there is nothing to balance", "[white]") {
    CHECK(balancedSrgbFromXyz(glm::dvec3(0.0)) == linearSrgbFromXyz());
}
