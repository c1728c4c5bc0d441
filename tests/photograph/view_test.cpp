// The straight and the soft view, quantisation, dither, patches. Reference for the curve:
// IEC 61966-2-1. Not here: exposure (exposure_test).
#include "renderer/photograph/view.h"

#include <algorithm>
#include <set>

#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

LinearImage flat(int width, int height, glm::dvec3 colour) {
    LinearImage image;
    image.width_px = width;
    image.height_px = height;
    image.pixel.assign(static_cast<std::size_t>(width * height), colour);
    return image;
}

/// The standard's curve, written out again from IEC 61966-2-1.
double srgbCode(double linear) {
    return 255 * (linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055);
}

}  // namespace

TEST_CASE("straight view: every value is the nearest code, with no dither", "[view][law]") {
    LinearImage image = flat(4096, 1, glm::dvec3(0.0));
    for (int i = 0; i < 4096; ++i)
        image.pixel[static_cast<std::size_t>(i)] = glm::dvec3(i / 4095.0);
    const Srgb8Image picture = renderView(image, View::straight);
    int worst = 0;
    for (std::size_t i = 0; i < 4096; ++i)
        if (std::abs(picture.rgb[3 * i] - srgbCode(static_cast<double>(i) / 4095.0)) > 0.5 + 1e-6)
            ++worst;
    CHECK(worst == 0);
    CHECK(std::set<int>(picture.rgb.begin(), picture.rgb.end()).size() == 256);
}

TEST_CASE("straight view: clips at 1 and at 0, channel by channel", "[view]") {
    CHECK(srgbCodes({1.0, 0.9999, 7.0}) == std::array<int, 3>{255, 255, 255});
    CHECK(srgbCodes({-0.5, 0.0, 0.18}) == std::array<int, 3>{0, 0, 118});
    const Srgb8Image picture = renderView(flat(1, 1, {1.5, -0.1, 0.18}), View::straight);
    CHECK(picture.rgb == std::vector<std::uint8_t>{255, 0, 118});
}

TEST_CASE("soft view: what lies under the knee is the straight view", "[view]") {
    for (const double x : {-0.1, 0.0, 0.02, 0.18, 0.45, kSoftKnee}) CHECK(softShoulder(x) == x);
    CHECK(softView({0.6, 0.3, -0.01}) == glm::dvec3(0.6, 0.3, -0.01));
}

TEST_CASE("soft view: the shoulder rises, never clips, and has no corner or bend at the knee",
          "[view]") {
    double last = 0.0;
    for (double x = 0.0; x < 4.0; x += 0.01) {
        CHECK(softShoulder(x + 0.01) > last);
        last = softShoulder(x + 0.01);
        CHECK(last < 1.0);
    }
    const double h = 1e-3;
    const double slope = (softShoulder(kSoftKnee + h) - kSoftKnee) / h;
    CHECK_THAT(slope, WithinAbs(1.0, 1e-4));
    const double bend = (softShoulder(kSoftKnee + 2 * h) - 2 * softShoulder(kSoftKnee + h) +
                         softShoulder(kSoftKnee)) /
                        (h * h);
    CHECK_THAT(bend, WithinAbs(0.0, 0.03));
    // The half stop that the raw holds above white stays apart: the documented codes.
    CHECK(std::lround(srgbCode(softShoulder(1.0))) == 244);
    CHECK(std::lround(srgbCode(softShoulder(1.41))) == 253);
}

TEST_CASE("soft view: a bright colour keeps its chromaticity", "[view]") {
    const glm::dvec3 orange{2.0, 0.8, 0.1};
    const glm::dvec3 shown = softView(orange);
    CHECK_THAT(shown.y / shown.x, WithinRel(0.4, 1e-12));
    CHECK_THAT(shown.z / shown.x, WithinRel(0.05, 1e-12));
    CHECK(shown.x < 1.0);
}

TEST_CASE("soft view: the dither keeps the mean, whole codes, and never moves one code", "[view]") {
    // A backdrop that rises by one code over 256 pixels: without dither a step, with it every
    // 8 x 8 block has the right mean within 1/64 code.
    LinearImage ramp = flat(256, 8, glm::dvec3(0.0));
    const auto decoded = [](double code) {
        return std::pow((code / 255 + 0.055) / 1.055, 2.4);  // IEC 61966-2-1 inverse
    };
    for (int x = 0; x < 256; ++x)
        for (int y = 0; y < 8; ++y)
            ramp.pixel[static_cast<std::size_t>(y * 256 + x)] =
                glm::dvec3(decoded(100 + (x / 8) / 32.0));
    const Srgb8Image picture = renderView(ramp, View::soft);
    for (int block = 0; block < 32; ++block) {
        const double wanted = 100 + block / 32.0;
        double mean = 0.0;
        for (int y = 0; y < 8; ++y)
            for (int x = 8 * block; x < 8 * block + 8; ++x) {
                const int code = picture.rgb[static_cast<std::size_t>(3 * (y * 256 + x))];
                CHECK(std::abs(code - wanted) < 1.0);
                mean += code / 64.0;
            }
        CHECK_THAT(mean, WithinAbs(wanted, 1.0 / 64 + 1e-6));
    }
}

TEST_CASE("soft view: half a code is dithered as a checkerboard, the pattern the eye sees least",
          "[view]") {
    // Bayer's matrix puts its lower half on one colour of the board (2 x 2: 0 2 / 3 1).
    const double code = 100.5;
    const double linear = std::pow((code / 255 + 0.055) / 1.055, 2.4);
    const Srgb8Image picture = renderView(flat(8, 8, glm::dvec3(linear)), View::soft);
    for (std::size_t y = 0; y < 8; ++y)
        for (std::size_t x = 0; x < 8; ++x)
            CHECK(picture.rgb[3 * (8 * y + x)] == ((x + y) % 2 == 0 ? 100 : 101));
}

TEST_CASE("a patch is averaged as light and then encoded", "[view][law]") {
    // Half black, half white: the mean light is 0.5, sRGB 188 (IEC 61966-2-1), and not 127.
    LinearImage image = flat(4, 2, glm::dvec3(0.0));
    for (std::size_t p : {0U, 2U, 4U, 6U}) image.pixel[p] = glm::dvec3(1.0);
    CHECK(srgbCodes(meanOfPatch(image, 0, 0, 4, 2)) == std::array<int, 3>{188, 188, 188});
    CHECK(meanOfPatch(image, 0, 0, 1, 1) == glm::dvec3(1.0));
    CHECK(meanOfPatch(image, 1, 0, 2, 2) == glm::dvec3(0.0));
    CHECK(meanOfPatch(image, -5, -5, 1, 1) == glm::dvec3(1.0));  // cut to the picture
    CHECK(meanOfPatch(image, 9, 9, 12, 12) == glm::dvec3(0.0));
}

TEST_CASE("a background 2.6 stops under 18 % grey prints as sRGB 48", "[view][law]") {
    // 0.18 * 2^-2.6 = 0.0297 -> 48.3 by IEC 61966-2-1; the sample report of the contract.
    const glm::dvec3 white = whiteOfTemperature(5500);
    const double factor = 2e-3;
    CHECK(srgbCodesOfXyz(white * (0.18 * std::exp2(-2.6) / factor), factor, white) ==
          std::array<int, 3>{48, 48, 48});
}
