// What is sharp of the product. Not here: depth of field itself (tests/scene/photo_lens.cpp).
#include "renderer/photograph/sharpness.h"

#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;

namespace {

/// 85 mm at f/11 and 1.161 m: near s H / (H + s - f), far s H / (H - s + f), with H = f^2/(N c)
/// (the usual formulas): sharp from 1.105 to 1.223 m. The product stands between two depths.
Scene sceneWith(float from_m, float to_m) {
    Scene scene;
    scene.camera.lens_m = {1, 2, 3};
    scene.camera.frame.x = {0, 0, 1};
    scene.camera.frame.y = {0, 1, 0};
    scene.camera.frame.z = {1, 0, 0};
    scene.camera.aperture = {11, 11.313708};
    scene.camera.focusDistance_m = 1.161;
    Item product;
    product.kind = ItemKind::product;
    product.mesh.position_m = {{1 + from_m, 2, 3}, {1 + to_m, 2.1F, 3}, {1 + from_m, 2, 3.1F}};
    scene.items.push_back(product);
    Item block = product;
    block.kind = ItemKind::block;
    block.mesh.position_m[0].x = 0.0F;  // 1 m behind the lens: no product
    scene.items.push_back(block);
    return scene;
}

}  // namespace

TEST_CASE("the sharp range splits into before and behind the focus", "[sharp][law]") {
    const Sharpness s = sharpnessOf(sceneWith(1.12F, 1.2F));
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

TEST_CASE("what of the product lies out of the sharp range is soft", "[sharp]") {
    const Sharpness inside = sharpnessOf(sceneWith(1.12F, 1.2F));
    REQUIRE(inside.product);
    CHECK(inside.product->front_m == 0.0);
    CHECK(inside.product->back_m == 0.0);
    const Sharpness both = sharpnessOf(sceneWith(1.08F, 1.26F));
    CHECK_THAT(both.product->front_m, WithinAbs(both.depth.near_m - 1.08, 1e-6));
    CHECK_THAT(both.product->back_m, WithinAbs(1.26 - both.depth.far_m, 1e-6));
    const Sharpness beyond = sharpnessOf(sceneWith(2.0F, 2.3F));  // all of it, and not more
    CHECK(beyond.product->front_m == 0.0);
    CHECK_THAT(beyond.product->back_m, WithinAbs(0.3, 1e-6));
    Scene none = sceneWith(1.0F, 2.0F);
    none.items[0].kind = ItemKind::block;
    CHECK_FALSE(sharpnessOf(none).product);
}

TEST_CASE("beyond the hyperfocal distance nothing behind is soft", "[sharp]") {
    Scene scene = sceneWith(30.0F, 60.0F);
    scene.camera.focusDistance_m = 40.0;
    const Sharpness s = sharpnessOf(scene);
    CHECK(std::isinf(s.behind_m));
    CHECK(s.product->back_m == 0.0);
}
