// light.photometry: the file's flux, opening and directions become a lamp on the set. Not here: bad
// lights (photometry_bad_test.cpp), rendering them.
#include <cmath>
#include <glm/gtc/constants.hpp>

#include "scene/photometry_file.h"
#include "scene/read_photometry.h"
#include "tests/scene/photometry_texts.h"
#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// A file in the folder in which readText puts its scenes.
std::string written(const std::string& name, const std::string& text) {
    const auto folder = std::filesystem::temp_directory_path() / "keyfall_read_tests";
    std::filesystem::create_directories(folder);
    std::ofstream(folder / name, std::ios::binary) << text;
    return name;
}

Scene sceneWith(const std::string& file, const std::string& more = {}) {
    return sceneOf("[[light]]\nname = \"key\"\nphotometry = \"" + file +
                   "\"\nat = [0, 0, 100]\naim = [0, 0, 0]\n" + more);
}

/// A Lambertian web, every degree.
PhotometricWeb lambertian() {
    MeasuredTable table{{}, {0}, {}};
    for (int v = 0; v <= 90; ++v) {
        table.vertical.push_back(v);
        table.candela.push_back(1000.0 *
                                std::max(0.0, std::cos(glm::radians(static_cast<double>(v)))));
    }
    return parseLm63(lm63(table));
}

std::string textOf(const Scene& scene, const std::string& code) {
    for (const Warning& warning : scene.warnings)
        if (warning.code == code) return warning.text;
    return {};
}

}  // namespace

TEST_CASE("a measured lamp has the file's flux, opening and body, and is daylight unless told",
          "[photometry]") {
    const Scene scene = sceneWith(written("minimal.ies", kMinimalLm63));
    const Light& light = named(scene.lights, "key");
    CHECK(light.kind == LightKind::continuous);
    REQUIRE(light.web);
    CHECK(light.web->file == "minimal.ies");
    CHECK(light.fullFlux == fluxByInterpolation_lm(*light.web));
    CHECK_FALSE(light.fluxUncertain);
    CHECK(light.shape.kind == LampKind::disc);
    CHECK(light.shape.a_m == Approx(0.18));
    CHECK_FALSE(light.shape.bothSides);
    CHECK(light.colourTemperature_K == 5500.0);
    CHECK(defaultOf(scene, "light.key.colour_temperature") == "5500, the lamp's");
    CHECK(defaultOf(scene, "light.key.kind") == "continuous");
    checkDirection(light.shape.frame.z, {0, 0, -1});
}

TEST_CASE("lumens rescale a measured lamp, lumen-seconds make it a flash", "[photometry]") {
    const std::string file = written("minimal.ies", kMinimalLm63);
    CHECK(sceneWith(file, "lumens = 500\n").lights[0].fullFlux == 500.0);
    const Scene flash = sceneWith(file, "lumen_seconds = 700\npower = \"1/2\"\n");
    CHECK(flash.lights[0].kind == LightKind::flash);
    CHECK(flash.lights[0].fluxAsSet() == Approx(350.0));
    CHECK(sceneWith(file, "colour_temperature = 3200\n").lights[0].colourTemperature_K == 3200.0);
}

TEST_CASE("the opening: of the file, of the scene, or a centimetre with a warning",
          "[photometry]") {
    const auto lightOf = [](const Scene& scene) { return named(scene.lights, "key").shape; };
    Lm63Form form;
    const auto file = [&form](const std::string& opening) {
        form.opening = opening;
        return written("opening.ies", lm63({{0, 90}, {0}, {100, 100}}, form));
    };
    const LampShape panel = lightOf(sceneWith(file("0.4 0.3 0")));
    CHECK(panel.kind == LampKind::panel);
    CHECK(panel.a_m == Approx(0.4));
    CHECK(panel.b_m == Approx(0.3));
    const LampShape oval = lightOf(sceneWith(file("-0.2 -0.5 0")));
    CHECK(oval.kind == LampKind::disc);
    CHECK(oval.a_m == Approx(0.5));
    const LampShape own = lightOf(sceneWith(file("-0.2 -0.5 0"), "opening = [20, 10]\n"));
    CHECK(own.kind == LampKind::panel);
    CHECK(own.b_m == Approx(0.1));
    const LampShape ownRound = lightOf(sceneWith(file("-0.2 -0.5 0"), "opening = [20, 20]\n"));
    CHECK(ownRound.kind == LampKind::disc);
    CHECK(ownRound.a_m == Approx(0.2));
    const Scene point = sceneWith(file("0 0 0"));
    CHECK(lightOf(point).kind == LampKind::disc);
    CHECK(lightOf(point).a_m == Approx(0.01));
    CHECK(warns(point, "photometry-point"));
    CHECK_FALSE(warns(sceneWith(file("0 0 0"), "opening = [20, 10]\n"), "photometry-point"));
}

TEST_CASE("a measured lamp shines from its back when its file has light above 90 degrees",
          "[photometry]") {
    const auto both = [](std::vector<double> candela) {
        return sceneWith(written("back.ies", lm63({{0, 90, 180}, {0}, candela})))
            .lights[0]
            .shape.bothSides;
    };
    CHECK(both({100, 50, 1}));
    CHECK_FALSE(both({100, 50, 0}));
}

// Evenly spread over a disc of radius R a Lambertian lamp gives pi L R^2/(R^2+d^2) on its axis,
// from the middle I/d^2 with I = pi R^2 L: they differ by d^2/(R^2+d^2).
TEST_CASE("far-field files: the error is even spread against the middle, closed form on the axis",
          "[photometry]") {
    LampShape disc;
    disc.kind = LampKind::disc;
    disc.a_m = 0.6F;
    disc.centre_m = {1, 2, 3};
    disc.frame = {{0, 0, -1}, {0, 1, 0}, {1, 0, 0}};
    for (const double d : {0.3, 0.6, 1.5, 3.0}) {
        const double expected = std::log2(1.0 + 0.09 / (d * d));
        INFO("at " << d << " m");
        // 48 pieces across leave 0.4 % of the area's edge, a degree of the web 1e-4.
        CHECK(farFieldError_stops(lambertian(), disc, {1.0F + static_cast<float>(d), 2, 3}) ==
              Approx(expected).epsilon(0.01));
    }
    CHECK(
        std::isnan(farFieldError_stops(lambertian(), disc, {0.5, 2, 3})));  // behind it all is dark
}

TEST_CASE("far-field files: a warning with the error's size within 5 diagonals, none beyond",
          "[photometry]") {
    // 40 x 30 cm: 5 diagonals are 250 cm.
    const std::string file = written("lambertian.ies", lm63Text(lambertian(), "made here"));
    const std::string near = textOf(sceneWith(file), "far-field-file");
    CHECK(near.find(
              "what it aims at is 100 cm away, nearer than 5 diagonals of the opening (250 cm)") !=
          std::string::npos);
    // The corner formula (outside reference: Siegel & Howell B-3) against inverse square: E d^2/(L
    // A).
    const double x = 0.2, y = 0.15, sx = std::sqrt(1 + x * x), sy = std::sqrt(1 + y * y);
    const double even =
        2.0 * (x / sx * std::atan(y / sx) + y / sy * std::atan(x / sy)) / (4 * x * y);
    std::ostringstream size;
    size << std::fixed << std::setprecision(2) << "by up to " << std::fabs(std::log2(even))
         << " stop";
    CHECK(near.find(size.str()) != std::string::npos);

    const std::string far =
        "[[light]]\nname = \"key\"\nphotometry = \"" + file +
        "\"\nat = [0, 0, 260]\naim = [0, 0, 0]\n[[probe]]\nname = \"p\"\nfacing = \"key\"\n";
    CHECK_FALSE(warns(sceneOf(far + "at = [0, 0, 0]\n"), "far-field-file"));
    CHECK(textOf(sceneOf(far + "at = [0, 0, 200]\n"), "far-field-file").find("; p is 60 cm away") !=
          std::string::npos);
}
