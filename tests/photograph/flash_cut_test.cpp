// The second curtain's part of the picture: where it lies and what it leaves. Not here: how large it is
// (tests/scene/motion_test.cpp).
#include <catch2/catch.hpp>

#include "renderer/photograph/exposure.h"
#include "renderer/photograph/flash_cut.h"
#include "scene/photo.h"
#include "synthetic.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;

namespace {

/// 3:2, at 1/250 s with a sync of 1/200 s: by 1 - t/t_sync the last fifth is covered.
Camera tooFast() {
    Camera c = synthetic::camera();
    c.flashSync_s = 1.0 / 200;
    c.shutter_s = {1.0 / 250, 1.0 / 250};
    return c;
}

constexpr double kFlash = 3.0, kSteady = 0.5;

/// Luminance of a picture that is even in flash (3) and in continuous light (0.5).
XyzImage covered(const FlashCut& cut, int width, int height) {
    Film film = synthetic::film(width, height, 2);
    for (std::size_t p = 0; p < film.pixelCount(); ++p) {
        synthetic::setGrey(film, 0, p, kFlash);
        synthetic::setGrey(film, 1, p, kSteady);
    }
    const BandXYZ white = bandXYZ(cieDaylight(5500.0));
    XyzImage image = develop(film, {{1.0, white}, {1.0, white}});
    coverFlash(image, develop(film, {{0.0, white}, {1.0, white}}), cut);
    return image;
}

}  // namespace

TEST_CASE("a shutter faster than sync leaves the last of the picture's rows to the continuous light", "[flash][law]") {
    // 36 rows: four fifths are 28.8 of them. Row 28 gets flash on .8 of it.
    const XyzImage image = covered(flashCutOf(tooFast()), 54, 36);
    for (const int x : {0, 53}) {
        CHECK_THAT(image.at(x, 0).y, WithinAbs(kFlash + kSteady, 1e-6));
        CHECK_THAT(image.at(x, 27).y, WithinAbs(kFlash + kSteady, 1e-6));
        CHECK_THAT(image.at(x, 28).y, WithinAbs(0.8 * kFlash + kSteady, 1e-6));
        CHECK_THAT(image.at(x, 29).y, WithinAbs(kSteady, 1e-6));
        CHECK_THAT(image.at(x, 35).y, WithinAbs(kSteady, 1e-6));
    }
}

TEST_CASE("the curtain runs along the shorter side: an upright sensor is covered at its right", "[flash]") {
    Camera camera = tooFast();
    std::swap(camera.sensor_m.x, camera.sensor_m.y);
    const XyzImage image = covered(flashCutOf(camera), 20, 30);
    CHECK_THAT(image.at(15, 29).y, WithinAbs(kFlash + kSteady, 1e-6));
    CHECK_THAT(image.at(16, 0).y, WithinAbs(kSteady, 1e-6));
}

TEST_CASE("at the sync time and slower nothing of the flash is covered", "[flash]") {
    Camera camera = tooFast();
    for (const double t_s : {1.0 / 200, 1.0 / 60}) {
        camera.shutter_s = {t_s, t_s};
        CHECK_THAT(covered(flashCutOf(camera), 6, 4).at(5, 3).y, WithinAbs(kFlash + kSteady, 1e-6));
    }
}

TEST_CASE("a part of the frame is covered where the whole of it would be", "[flash]") {
    // From .7 to .9 of the height in 20 rows: covered from .8 on, row 10.
    FlashCut cut = flashCutOf(tooFast());
    cut.first = {0.1, 0.7};
    cut.size = {0.3, 0.2};
    const XyzImage image = covered(cut, 30, 20);
    CHECK_THAT(image.at(3, 9).y, WithinAbs(kFlash + kSteady, 1e-6));
    CHECK_THAT(image.at(3, 10).y, WithinAbs(kSteady, 1e-6));
}

TEST_CASE("what clips behind the curtain is judged without flash", "[flash][clipping]") {
    ClippedPixels all{{Clipped::diffuse, Clipped::diffuse}, {1, 1}, {0, 0}};
    const ClippedPixels steady{{Clipped::no, Clipped::specular}, {0, 0}, {0, 1}};
    FlashCut cut;
    cut.share = 0.5;
    coverFlash(all, steady, {1, 2}, cut);
    CHECK(all.kind == std::vector<Clipped>{Clipped::diffuse, Clipped::specular});
    CHECK(all.raw == std::vector<std::uint8_t>{1, 0});
    CHECK(all.layer == std::vector<std::uint32_t>{0, 1});
}
