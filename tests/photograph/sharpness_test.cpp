// What is sharp along the axis. Not here: depth of field itself (tests/scene/photo_lens.cpp).
#include "renderer/photograph/sharpness.h"

#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;

namespace {

/// 85 mm at f/11 and 1.161 m: near s H / (H + s - f), far s H / (H - s + f), with H = f^2/(N c)
/// (the usual formulas): sharp from 1.105 to 1.223 m.
Scene focused(double focus_m) {
    Scene scene;
    scene.camera.aperture = {11, 11.313708};
    scene.camera.focusDistance_m = focus_m;
    return scene;
}

}  // namespace

TEST_CASE("the sharp range splits into before and behind the focus", "[sharp][law]") {
    const Sharpness s = sharpnessOf(focused(1.161));
    const double h_m = 0.085 * 0.085 / (11.313708 * 3e-5);
    const double near_m = 1.161 * h_m / (h_m + 1.161 - 0.085);
    const double far_m = 1.161 * h_m / (h_m - 1.161 + 0.085);
    CHECK_THAT(s.before_m, WithinAbs(1.161 - near_m, 1e-3));
    CHECK_THAT(s.behind_m, WithinAbs(far_m - 1.161, 1e-3));
    CHECK_THAT(s.before_m, WithinAbs(0.056, 5e-4));
    CHECK_THAT(s.behind_m, WithinAbs(0.062, 5e-4));
    // 1/v = 1/f - 1/s: the sensor stands 9.17 cm behind the lens.
    CHECK_THAT(s.fromSensor_m, WithinAbs(1.161 + 1.0 / (1.0 / 0.085 - 1.0 / 1.161), 1e-9));
}

TEST_CASE("what of a depth lies out of the sharp range is soft", "[sharp]") {
    const DepthOfField sharp = sharpnessOf(focused(1.161)).depth;
    const SoftParts inside = softParts(sharp, 1.12, 1.2);
    CHECK(inside.front_m == 0.0);
    CHECK(inside.back_m == 0.0);
    const SoftParts both = softParts(sharp, 1.08, 1.26);
    CHECK_THAT(both.front_m, WithinAbs(sharp.near_m - 1.08, 1e-12));
    CHECK_THAT(both.back_m, WithinAbs(1.26 - sharp.far_m, 1e-12));
    const SoftParts beyond = softParts(sharp, 2.0, 2.3);  // all of it, and not more
    CHECK(beyond.front_m == 0.0);
    CHECK_THAT(beyond.back_m, WithinAbs(0.3, 1e-12));
    CHECK_THAT(beyond.behind_m, WithinAbs(2.0 - sharp.far_m, 1e-12));
    CHECK(beyond.before_m == 0.0);
    CHECK(both.before_m + both.behind_m == 0.0);
    // A flat face has no depth to be soft, and is out of the range all the same.
    CHECK(softParts(sharp, 1.161, 1.161).none());
    CHECK_FALSE(softParts(sharp, 1.0, 1.0).none());
    CHECK_THAT(softParts(sharp, 1.0, 1.0).before_m, WithinAbs(sharp.near_m - 1.0, 1e-12));
}

TEST_CASE("beyond the hyperfocal distance nothing behind is soft", "[sharp]") {
    const Sharpness s = sharpnessOf(focused(40.0));
    CHECK(std::isinf(s.behind_m));
    CHECK(softParts(s.depth, 30.0, 60.0).back_m == 0.0);
}
