// A grey card from the film to 8 bits: exposure, close-up loss, calibration. References: ISO 12232
// (18 % grey at 0.461 of full scale), IEC 61966-2-1 (the sRGB curve). Not here: colour
// (white_test).
#include "renderer/photograph/exposure.h"

#include "renderer/photograph/view.h"
#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
namespace syn = keyfall::synthetic;

namespace {

/// The code at which a matt card shows that a meter would expose at f/11, `stops` over that.
/// Luminous energy of a matt surface: Q = rho H / pi (Lambert).
int cardCode(const Camera& camera, double reflectance, double stops = 0.0) {
    Film film = syn::film(1, 1, 1);
    syn::setGrey(film, 0, 0, reflectance / syn::kPi);
    const BandXYZ light = bandXYZ(cieDaylight(5500));
    // The film holds L per lm; with 1 lx per lm the amount is the exposure in lx*s.
    const XyzImage xyz = develop(film, {{syn::kMetered_lxs * std::exp2(stops), light}});
    const LinearImage image = expose(xyz, pictureFactor(camera), whiteOfLight(light));
    const Srgb8Image picture = renderView(image, View::straight);
    CHECK(picture.rgb[0] == picture.rgb[1]);
    CHECK(picture.rgb[1] == picture.rgb[2]);
    return picture.rgb[1];
}

}  // namespace

TEST_CASE("an 18 % grey card, metered, shows at sRGB 118", "[exposure][law]") {
    // ISO 12232 SOS: 0.461 of full scale = 117.6; IEC 61966-2-1 encodes 0.18 to 0.4614.
    CHECK(cardCode(syn::camera(), 0.18) == 118);
}

TEST_CASE("white paper of 90 % shows at sRGB 243 and clips a third of a stop over",
          "[exposure][law]") {
    // Common practice, no source; derivation: 1.055 * 0.9^(1/2.4) - 0.055 = 0.9547 -> 243.
    CHECK(cardCode(syn::camera(), 0.90) == 243);
    CHECK(cardCode(syn::camera(), 0.90, 1.0 / 3.0) == 255);
    CHECK(cardCode(syn::camera(), 0.90, 0.1) < 255);
}

TEST_CASE("white paper 1 to 5 stops under shows at 179, 130, 94, 67, 47", "[exposure][law]") {
    // Common practice; derivation by IEC 61966-2-1.
    const int codes[] = {179, 130, 94, 67, 47};
    for (int stops = 1; stops <= 5; ++stops)
        CHECK(cardCode(syn::camera(), 0.90, -stops) == codes[stops - 1]);
}

TEST_CASE("calibration of -0.10 stop shows grey at 114, as ISO 12232 SOS with q = 0.65",
          "[exposure][law]") {
    // SOS = 10/H with H = 0.65 L t / N^2 puts 18 % grey at 0.65 * pi * ... : 0.18 * 2^-0.10
    // = 0.168 -> 114 (README, "Numbers").
    Camera camera = syn::camera();
    camera.calibration_stops = -0.10;
    CHECK(cardCode(camera, 0.18) == 114);
}

TEST_CASE("a close focus darkens the picture by (1 + m)^2", "[exposure][law]") {
    // 85 mm focused at 850 mm: m = f/(s-f) = 1/9, so 2 log2(10/9) = 0.304 stop (thin lens). Half a
    // pupil ratio doubles m/p: 2 log2(11/9).
    Camera camera = syn::camera();
    const double compensated = pictureFactor(camera);
    camera.closeUpCompensated = false;
    camera.focusDistance_m = 0.85;
    CHECK_THAT(std::log2(pictureFactor(camera) / compensated),
               WithinAbs(-2 * std::log2(10.0 / 9.0), 1e-12));
    CHECK_THAT(closeUp_stops(camera), WithinAbs(-2 * std::log2(10.0 / 9.0), 1e-12));
    camera.pupilRatio = 0.5;
    CHECK_THAT(closeUp_stops(camera), WithinAbs(-2 * std::log2(11.0 / 9.0), 1e-12));
    camera.closeUpCompensated = true;
    CHECK_THAT(closeUp_stops(camera), WithinAbs(-2 * std::log2(11.0 / 9.0), 1e-12));
    CHECK_THAT(pictureFactor(camera), WithinRel(compensated, 1e-15));
}

TEST_CASE("ISO, aperture and light move the picture by whole stops as engraved", "[exposure]") {
    Camera camera = syn::camera();
    const double set = pictureFactor(camera);
    camera.iso.exact = 400;
    CHECK_THAT(std::log2(pictureFactor(camera) / set), WithinAbs(2.0, 1e-12));
    camera.aperture.exact *= 2;
    CHECK_THAT(pictureFactor(camera), WithinRel(set, 1e-12));
}
