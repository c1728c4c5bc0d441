// How much of the frame a product fills, and its stops against the backdrop, by similar triangles and
// reflectances. Not here: how even the backdrop is (evenness_test.cpp).
#include <catch2/catch.hpp>

#include "../transport/set.h"
#include "renderer/meter/separation.h"
#include "renderer/transport/render.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// A product 0.2 m wide and 0.1 m high, 1 m before a lens that sees 0.36 x 0.24 m there, off the middle.
Set productBeforeWall(float reflectance) {
    Set set;
    Camera& c = set.scene.camera;
    c.frame.x = {1, 0, 0}, c.frame.y = {0, 1, 0}, c.frame.z = {0, 0, -1};
    c.focusDistance_m = 1.0;
    c.focalLength_m = 0.1 * 1.0 / 1.1;  // thin lens: the sensor stands 0.1 m behind it
    c.aperture = {64, 64};              // next to no blur at the outline
    set.scene.picture.width_px = 180;
    set.scene.picture.height_px = 120;
    set.item(sheet({0, 0, -1.2F}, {0, 0, 1}, {4, 4}), set.matt(0.5F), ItemKind::backdrop);
    set.item(sheet({0.05F, 0.02F, -1.0F}, {0, 0, 1}, {0.2F, 0.1F}), set.matt(reflectance), ItemKind::product);
    set.light(sphereLamp({0, 0, 30.0F}, 0.05F), 1000.0);  // so far away that both are lit alike
    return set;
}

}  // namespace

TEST_CASE("a product's share of the frame is by similar triangles", "[meter]") {
    const Set set = productBeforeWall(0.5F);
    const Stage stage(set.scene);
    const auto fill = productFill(set.scene, lookThroughLens(stage, 180, 120));
    REQUIRE(fill);
    CHECK(fill->width == Approx(0.2 / 0.36).margin(1.01 / 180));
    CHECK(fill->height == Approx(0.1 / 0.24).margin(1.01 / 120));
    CHECK(fill->area == Approx(0.2 * 0.1 / (0.36 * 0.24)).epsilon(0.02));
}

TEST_CASE("a product stands out from the wall by its reflectance, and only where the wall is beside it",
          "[meter]") {
    Set set = productBeforeWall(0.125F);
    // A table's edge, so to say: what is beside the product on the right is no backdrop.
    set.item(sheet({0.65F, 0, -1.1F}, {0, 0, 1}, {1.0F, 1.0F}), set.matt(0.9F), ItemKind::block);
    const Stage stage(set.scene);
    Film film(180, 120, layerInfos(set.scene));
    RenderSettings settings;
    settings.samples = 16;
    render(stage, film, settings);
    const Separation s =
        productSeparation(set.scene, lookThroughLens(stage, 180, 120), film, mixAsSet(set.scene, 1.0));
    REQUIRE((s.left_stops && s.top_stops));
    // Two stops of reflectance; the wall is 31.2 m from the lamp, the product 31.0: 0.02 stop.
    const double exact = -2.0 + 2.0 * std::log2(31.2 / 31.0);
    for (const Measured& m : {*s.left_stops, *s.top_stops}) {
        INFO(m.value << " +- " << m.interval95.half() << ", exact " << exact);
        CHECK(std::abs(m.value - exact) < 0.02 + 2.0 * m.interval95.half());
    }
    CHECK_FALSE(s.right_stops);
}
