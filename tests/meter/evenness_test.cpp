// How even a backdrop is in the picture, against inverse square and cosine.
#include <catch2/catch.hpp>

#include "../transport/set.h"
#include "renderer/meter/evenness.h"
#include "renderer/transport/render.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

constexpr double kWall_m = 2.0;  // from the lens, which looks at the wall squarely
const glm::dvec3 kLamp_m{1.5, 0.4, -1.0};

Set wallSet() {
    Set set;
    set.item(sheet({0, 0, static_cast<float>(-kWall_m)}, {0, 0, 1}, {4, 4}), set.matt(0.5F),
             ItemKind::backdrop);
    set.light(sphereLamp(glm::vec3(kLamp_m), 0.05F), 1000.0);
    set.scene.camera.frame.x = {1, 0, 0};
    set.scene.camera.frame.y = {0, 1, 0};
    set.scene.camera.frame.z = {0, 0, -1};
    set.scene.camera.focalLength_m = 0.05;
    set.scene.camera.focusDistance_m = kWall_m;
    set.scene.picture.width_px = 96;
    set.scene.picture.height_px = 64;
    return set;
}

/// cos/d^2 at the wall, the mean over the square of column c and row r of 12 x 8.
double squareLight(int c, int r) {
    constexpr double kF_m = 0.05;
    const double v_m = kF_m * kWall_m / (kWall_m - kF_m);  // thin lens
    double sum = 0.0;
    constexpr int kSteps = 8;
    for (int i = 0; i < kSteps; ++i)
        for (int j = 0; j < kSteps; ++j) {
            const double x_m = ((c + (i + 0.5) / kSteps) / 12.0 - 0.5) * 0.036 / v_m * kWall_m;
            const double y_m = (0.5 - (r + (j + 0.5) / kSteps) / 8.0) * 0.024 / v_m * kWall_m;
            const glm::dvec3 way = kLamp_m - glm::dvec3(x_m, y_m, -kWall_m);
            sum += way.z / std::pow(glm::length(way), 3.0);
        }
    return sum;
}

/// Stops between the brightest and darkest of the four corners and the middle of columns `from` to 11.
double exact_stops(int from) {
    const int middle = std::max(from, 5);
    const double points[] = {squareLight(from, 0), squareLight(11, 0), squareLight(from, 7),
                             squareLight(11, 7), squareLight(middle, 3)};
    return std::log2(*std::max_element(points, points + 5) / *std::min_element(points, points + 5));
}

std::optional<Measured> evenness(const Set& set) {
    const Stage stage(set.scene);
    Film film(96, 64, layerInfos(set.scene));
    RenderSettings settings;
    settings.samples = 64;
    render(stage, film, settings);
    return backgroundEvenness_stops(stage, film, mixAsSet(set.scene, 1.0));
}

}  // namespace

TEST_CASE("a wall lit from one side is uneven by inverse square and cosine", "[law][meter]") {
    const auto e = evenness(wallSet());
    REQUIRE(e);
    INFO(e->value << " +- " << e->interval95.half() << ", exact " << exact_stops(0));
    CHECK(exact_stops(0) > 1.0);
    CHECK(std::abs(e->value - exact_stops(0)) < 0.01 + 2.0 * e->interval95.half());
    CHECK(e->interval95.half() < 0.05);
}

TEST_CASE("a hot spot between the five points is no part of the evenness", "[meter]") {
    // A lamp close to the wall, off the middle and the corners: what the darkest of all places would say.
    Set set = wallSet();
    set.light(sphereLamp({0.2F, 0.0F, -1.95F}, 0.01F), 4.0);
    const auto e = evenness(set);
    const auto plain = evenness(wallSet());
    REQUIRE((e && plain));
    CHECK(std::abs(e->value - plain->value) < 0.1);
}

TEST_CASE("what stands before the backdrop is no part of its evenness", "[meter]") {
    // A black card hides the darkest third of the wall, in the lens's view alone: it stands close to it.
    Set set = wallSet();
    const double v_m = 0.05 * kWall_m / (kWall_m - 0.05);
    const double z_m = 0.5;
    const double edge_m = (4.0 / 12.0 - 0.5) * 0.036 / v_m * z_m;
    set.item(sheet({static_cast<float>(edge_m - 0.5), 0, static_cast<float>(-z_m)}, {0, 0, 1}, {1, 1}),
             set.matt(0.0F));
    const auto e = evenness(set);
    REQUIRE(e);
    // The card's rim is out of focus: one column beside it may be lost or dimmed.
    INFO(e->value << ", exact from column 4 " << exact_stops(4) << ", from column 5 " << exact_stops(5));
    CHECK(e->value < exact_stops(0) - 0.2);
    CHECK(e->value > exact_stops(6));
}

TEST_CASE("without a backdrop in the picture there is no evenness", "[meter]") {
    Set set = wallSet();
    set.scene.items[0].kind = ItemKind::block;
    CHECK_FALSE(evenness(set));
    Set dark = wallSet();
    dark.scene.lights[0].on = false;
    CHECK_FALSE(evenness(dark));
}
