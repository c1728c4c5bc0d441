// --set: key paths to any key, values as TOML or bare text, mistakes with the option's text.
#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {
std::string setError(const std::string& option) {
    return errorsOf(readText(cubeAndLight(), {option}));
}
}  // namespace

TEST_CASE("--set changes numbers, words, fractions and points", "[read][set]") {
    const Scene scene = sceneOf(
        cubeAndLight(), {"light.key.power=1/4", "camera.iso=400", "light.key.at=[0, 50, 50]",
                         "picture.view=soft", "camera.shutter=1/60", "block.cube.turn=90"});
    CHECK(named(scene.lights, "key").power_stops == Approx(-2.0));
    CHECK(scene.camera.iso.exact == Approx(400.0));
    CHECK(scene.camera.shutter_s.exact == Approx(1.0 / 64));
    CHECK(scene.picture.view == View::soft);
    checkCm(named(scene.lights, "key").shape.centre_m, {0, 50, 50});
}

TEST_CASE("--set reaches into tables, and makes the ones that are missing", "[read][set]") {
    const std::string board =
        cubeAndLight() + "[[board]]\nname = \"fill\"\naround = { angle = -90, distance = 25 }\n";
    const Scene scene = sceneOf(board, {"board.fill.around.distance=10", "title=A cube"});
    checkCm(named(scene.items, "fill").at_m, {-10, 5, 0});
    CHECK(scene.title == "A cube");
    const Scene light = sceneOf(cubeAndLight(), {"light.key.around.distance=50"});
    checkCm(named(light.lights, "key").shape.centre_m, {0, 5, 50});
}

TEST_CASE("--set: the last of two options for one key stands", "[read][set]") {
    CHECK(sceneOf(cubeAndLight(), {"camera.iso=200", "camera.iso=400"}).camera.iso.exact ==
          Approx(400.0));
}

TEST_CASE("--set: names that the program gave count too", "[read][set]") {
    const std::string text = "[[light]]\nlumens = 100\nat = [0, 9, 9]\naim = [0, 0, 0]\n";
    CHECK(sceneOf(text, {"light.light-1.lumens=50"}).lights[0].fullFlux == Approx(50.0));
}

TEST_CASE("--set: mistakes carry the option as their place", "[read][set]") {
    CHECK(
        setError("light.kee.power=1") ==
        "--set light.kee.power=1: error: there is no light \"kee\"; known here: key; did you mean "
        "\"key\"?\n");
    CHECK(setError("light.key.powr=1") ==
          "--set light.key.powr=1: error: light.key.powr is no known key; known here: name, kind, "
          "lamp, energy, lumen_seconds, watts, lumens, guide_number, lux_at_1m, reads, rated_with, "
          "rated_power, power, modifier, at, around, measured_to, aim, roll, colour_temperature, "
          "spectrum, gel, photometry, opening, on, caption; did you mean \"power\"?\n");
    CHECK(setError("light.key.power=3") ==
          "--set light.key.power=3: error: light.key.power is 3; power '3' is more than full; some "
          "lamps show stops as 1-10: write '1/8' or '-3 stops'\n");
    CHECK(
        setError("camera.aperture") ==
        "--set camera.aperture: error: there is no value; needed: a key path, =, and a value; for "
        "example --set light.key.power=1/4\n");
    CHECK(setError("light.key=1") ==
          "--set light.key=1: error: \"light.key\" names no key; for example light.key.power or "
          "camera.aperture\n");
    CHECK(setError("camera.iso.fast=1") ==
          "--set camera.iso.fast=1: error: camera.iso is no table; set it as a whole\n");
    CHECK(setError("board.fill.size=1") ==
          "--set board.fill.size=1: error: there is no board \"fill\"; the file has no board\n");
}

TEST_CASE("--set: a value with a line break is text, not more TOML", "[read][set]") {
    const ReadResult result = readText(cubeAndLight(), {"title=1\n[camera]\niso = 7"});
    REQUIRE(result.scene.has_value());
    CHECK(result.scene->camera.iso.exact == Approx(100.0));
}
