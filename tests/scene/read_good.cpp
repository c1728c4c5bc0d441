// Good scene files: places by hand, engraved numbers, power, defaults, probes, warnings.
// Not here: bad files (read_bad.cpp), ratings (read_ratings.cpp), --set (read_set.cpp).
#include <glm/gtc/constants.hpp>

#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

const std::string kCaddy = std::string("[[product]]\nname = \"caddy\"\nmesh = \"") + KEYFALL_ROOT +
                           "/assets/meshes/tea_caddy.obj\"\nheight = 14\n";

Scene contractExample() {
    const ReadResult result =
        readScene(std::filesystem::path(KEYFALL_TESTS) / "good" / "contract_example.toml");
    INFO(errorsOf(result));
    REQUIRE(result.scene.has_value());
    CHECK(result.exitCode() == 0);
    return *result.scene;
}

Box3 boxOf(const Scene& scene, const std::string& name) {
    return boundsOf(named(scene.items, name).mesh);
}

}  // namespace

TEST_CASE("the contract's key: 400 W·s at 1/4+0.3 sends 3693.4 lm·s", "[read][contract]") {
    // The figure of the contract's sample report (section 5): 400 * 30 * 2^-1.7.
    const Scene scene = contractExample();
    const Light& key = named(scene.lights, "key");
    CHECK(key.kind == LightKind::flash);
    CHECK(key.fullFlux == Approx(12000.0));
    CHECK(key.fluxAsSet() == Approx(3693.4).epsilon(2e-5));
    CHECK(key.powerText == "1/4+0.3");
    CHECK(key.exitDistance_m == Approx(0.8));
    CHECK(key.fluxUncertain);
}

TEST_CASE("the contract's example stands where its numbers say", "[read][contract]") {
    const Scene scene = contractExample();
    // 80 cm at 65 and 35 degrees from (0, 8, 0): (80 cos35 sin65, 8 + 80 sin35, 80 cos35 cos65).
    checkCm(named(scene.lights, "key").shape.centre_m, {59.3923, 53.8861, 27.6951});
    // 25 cm to the left, 10 degrees up: (-25 cos10, 8 + 25 sin10, 0), turned to (0, 8, 0).
    const Item& fill = named(scene.items, "fill");
    checkCm(fill.at_m, {-24.6202, 12.3412, 0});
    checkDirection(fill.frame.z, glm::normalize(glm::vec3(0.246202F, -0.043412F, 0)));
    CHECK(fill.size_m == glm::vec2(0.3F, 0.4F));
    checkCm(scene.camera.lens_m, {0, 24, 120});
    // Along the axis to (0, 8, 5): way (0, -16, -115) on the unit axis (0, -16, -120)/121.062.
    CHECK(scene.camera.focusDistance_m == Approx(1.16106).epsilon(1e-4));
    CHECK(scene.picture.height_px == 640);
}

TEST_CASE("an object that is off is not on the set", "[read][contract]") {
    const Scene scene = contractExample();
    for (const Item& item : scene.items) CHECK((item.name != "panel" && item.name != "cutter"));
    const Scene dark = sceneOf(cubeAndLight("on = false\n"));
    CHECK(named(dark.lights, "key").strength() == 0.0);  // a lamp stays as a body
    CHECK(warns(dark, "no-light"));
}

TEST_CASE("a product is as high as its height says, and stands 0.1 mm off what carries it",
          "[read][place]") {
    const Scene scene = contractExample();
    // The plinth stands on the table, raised 0.1 mm; the caddy on the plinth, raised once more.
    CHECK(boxOf(scene, "plinth").low.y == Approx(0.0001));
    CHECK(boxOf(scene, "caddy").low.y == Approx(0.04 + 0.0002).margin(1e-6));
    CHECK(boxOf(scene, "caddy").size().y == Approx(0.14).epsilon(1e-5));
    CHECK(defaultOf(scene, "product.caddy.raised") == "0.01 cm off the top of plinth");
}

TEST_CASE("solids apart from each other, or above, are not raised", "[read][place]") {
    const std::string two = cubeAndLight() +
                            "[[block]]\nname = \"beside\"\nsize = [2, 2, 2]\nat = [20, 10, 0]\n"
                            "[[block]]\nname = \"above\"\nsize = [2, 2, 2]\nat = [0, 10.01, 0]\n";
    const Scene scene = sceneOf(two);
    CHECK(boxOf(scene, "beside").low.y == Approx(0.1));
    CHECK(boxOf(scene, "above").low.y == Approx(0.1001));
}

TEST_CASE("unit and up: a mesh in millimetres, z up", "[read][place]") {
    const Scene byUnit = sceneOf(kCaddy, {"product.caddy.height=14"});
    const float tall = boxOf(byUnit, "caddy").size().y;
    const std::string mesh = std::string(KEYFALL_TESTS) + "/bad/scene/triangle.obj";
    // A triangle of 1 x 1 units in the plane z = 0: with z up it lies flat, 1 in wide.
    const Scene flat =
        sceneOf("[[product]]\nname = \"t\"\nmesh = \"" + mesh + "\"\nunit = \"in\"\nup = \"z\"\n");
    checkCm(boxOf(flat, "t").size(), {2.54, 0, 2.54});
    CHECK(tall == Approx(0.14).epsilon(1e-5));
}

TEST_CASE("engraved numbers name exact steps, other numbers are literal", "[read][engraved]") {
    const Scene scene = sceneOf("[camera]\naperture = 11\nshutter = \"1/125\"\niso = 125\n");
    CHECK(scene.camera.aperture.exact == Approx(11.314).epsilon(1e-4));  // README, "Numbers"
    CHECK(scene.camera.aperture.asWritten == Approx(11.0));
    CHECK(scene.camera.shutter_s.exact == Approx(1.0 / 128));
    CHECK(scene.camera.iso.exact == Approx(125.99).epsilon(1e-4));
    const Scene literal = sceneOf("[camera]\naperture = 10.5\n");
    CHECK(literal.camera.aperture.exact == Approx(10.5));
}

TEST_CASE("every notation of power", "[read][power]") {
    const auto stopsOf = [](const std::string& power) {
        return sceneOf(cubeAndLight("power = " + power + "\n")).lights[0].power_stops;
    };
    CHECK(stopsOf("1.0") == Approx(0.0).margin(1e-12));
    CHECK(stopsOf("\"1/4\"") == Approx(-2.0));
    CHECK(stopsOf("\"1/2-0.7\"") == Approx(-1.7));
    CHECK(stopsOf("\"60%\"") == Approx(std::log2(0.6)));
    CHECK(stopsOf("\"-1.3 stops\"") == Approx(-1.3));
    CHECK(std::isinf(stopsOf("0")));
}

TEST_CASE("names as points: a card around a product aims at the middle of its box",
          "[read][place]") {
    const Scene scene = sceneOf(
        cubeAndLight("at = [50, 5, 0]\n") +
        "[[board]]\nname = \"fill\"\naround = { point = \"cube\", angle = -90, distance = 25 }\n"
        "[[board]]\nname = \"mirror\"\nsurface = \"mirror\"\nat = [0, 5, 50]\n"
        "aim = { from = \"key\", to = \"cube\" }\n");
    checkCm(named(scene.items, "fill").at_m, {-25, 5, 0});
    checkDirection(named(scene.items, "fill").frame.z, {1, 0, 0});
    // Light comes from (50, 0, -50)/|..| and goes to (0, 0, -1): the normal halves the angle.
    const glm::vec3 from = glm::normalize(glm::vec3(50, 0, -50));
    checkDirection(named(scene.items, "mirror").frame.z,
                   glm::normalize(from + glm::vec3(0, 0, -1)));
}

TEST_CASE("a light placed by `at` aims where the camera looks", "[read][place]") {
    const Scene scene = sceneOf(
        "[camera]\nat = [0, 20, 100]\nlook_at = [10, 20, 0]\n"
        "[[light]]\nname = \"key\"\nlumens = 100\nat = [10, 20, 50]\n");
    checkDirection(scene.lights[0].shape.frame.z, {0, 0, -1});
    CHECK(scene.lights[0].lampDistance_m == Approx(0.5));
}

TEST_CASE("the room is an item of three greys, and the ambient as a flat meter reads it",
          "[read][room]") {
    const Scene scene = sceneOf("[room]\nilluminance = 500\n" + cubeAndLight());
    REQUIRE(scene.room.has_value());
    CHECK(scene.room->ambientIlluminance_lx == Approx(500.0));
    CHECK(scene.room->ambientBands.total().y == Approx(1.0));
    const Item& room = named(scene.items, "room");
    REQUIRE(room.materials.size() == 3);
    CHECK(scene.materials[room.materials[0]].reflectance[5] == Approx(0.5));
    CHECK(scene.materials[room.materials[1]].reflectance[5] == Approx(0.8));
    CHECK(scene.materials[room.materials[2]].reflectance[5] == Approx(0.2));
    checkCm(boundsOf(room.mesh).low, {-200, -75, -200});
    checkCm(boundsOf(room.mesh).high, {200, 185, 200});
    CHECK_FALSE(warns(scene, "no-room"));
}

TEST_CASE("meter works without a camera; render gets one", "[read][camera]") {
    const auto file = std::filesystem::temp_directory_path() / "keyfall_read_no_camera.toml";
    std::ofstream(file) << cubeAndLight();
    ReadOptions options;
    options.needsCamera = false;
    CHECK_FALSE(readScene(file, options).scene->hasCamera);
    CHECK(readScene(file).scene->hasCamera);
    std::filesystem::remove(file);
}

TEST_CASE("white balance: kelvin, a light's name, or auto", "[read][camera]") {
    const auto white = [](const std::string& value) {
        return sceneOf("[camera]\nwhite_balance = " + value + "\n" + cubeAndLight() +
                       "[[light]]\nname = \"rim\"\nlumens = 10\n")
            .camera.whiteBalance;
    };
    CHECK(std::get<double>(white("3200")) == Approx(3200.0));
    CHECK(std::get<std::size_t>(white("\"rim\"")) == 1);
    CHECK(std::holds_alternative<Camera::Auto>(white("\"auto\"")));
}

TEST_CASE("a lamp, a material and a fabric of the file's own", "[read][definitions]") {
    const Scene scene =
        sceneOf(cubeAndLight("lamp = \"lamp-1\"\n") +
                "[lamp.lamp-1]\nshape = \"ring\"\nsize = [20, 2]\ncolour_temperature = 3200\n"
                "[[scrim]]\nname = \"panel\"\nfabric = \"mine\"\naround = { distance = 40 }\n"
                "[fabric.mine]\ntransmittance = 0.3\nreflectance = 0.5\nstraight = 0.1\n");
    const Light& key = named(scene.lights, "key");
    CHECK(key.shape.kind == LampKind::ring);
    CHECK(key.shape.a_m == Approx(0.2));
    CHECK(key.shape.b_m == Approx(0.02));
    CHECK(key.colourTemperature_K == Approx(3200.0));
    const Material& silk = scene.materials[named(scene.items, "panel").materials[0]];
    CHECK(silk.base == Base::sheet);
    CHECK(silk.transmittance[0] == Approx(0.3));
    CHECK(silk.straight[0] == Approx(0.1));
}

TEST_CASE("a material for one part of a mesh, by its name", "[read][definitions]") {
    const std::string mesh = std::string(KEYFALL_TESTS) + "/bad/scene/triangle.obj";
    const Scene scene = sceneOf("[[product]]\nname = \"t\"\nmesh = \"" + mesh +
                                "\"\nheight = 10\nmaterials = { lid = \"brass-brushed\" }\n");
    CHECK(scene.materials[named(scene.items, "t").materials[0]].name == "brass-brushed");
}

TEST_CASE("warnings have stable codes", "[read][warnings]") {
    CHECK(warns(sceneOf(cubeAndLight()), "no-room"));
    CHECK_FALSE(warns(sceneOf(cubeAndLight()), "flux-uncertain"));
    const std::string flash = "[[light]]\nname = \"key\"\nenergy = 100\nat = [0, 50, 50]\n";
    const Scene uncertain = sceneOf(flash);
    CHECK(warns(uncertain, "flux-uncertain"));
    CHECK_FALSE(warns(uncertain, "shutter-faster-than-sync"));
    CHECK(warns(sceneOf(flash, {"camera.shutter=1/250"}), "shutter-faster-than-sync"));
    CHECK_FALSE(warns(sceneOf(flash, {"camera.shutter=1/200"}), "shutter-faster-than-sync"));
    CHECK_FALSE(
        warns(sceneOf(cubeAndLight(), {"camera.shutter=1/250"}), "shutter-faster-than-sync"));
    CHECK(warns(sceneOf(kCaddy, {"product.caddy.height=200"}), "product-size"));
    CHECK_FALSE(warns(sceneOf(kCaddy), "product-size"));
    CHECK(warns(sceneOf("[table]\nmaterial = \"slate\"\n[backdrop]\nshape = \"sweep\"\n"),
                "sweep-covers-table"));
}

TEST_CASE("glass on a mesh that is not closed is a thin pane, with a warning", "[read][warnings]") {
    const std::string mesh = std::string(KEYFALL_TESTS) + "/bad/scene/triangle.obj";
    const std::string pane = "[[product]]\nname = \"t\"\nmesh = \"" + mesh +
                             "\"\nheight = 10\nmaterial = \"glass-clear\"\n";
    const Scene scene = sceneOf(pane);
    CHECK(warns(scene, "glass-on-open-mesh"));
    CHECK(scene.materials[named(scene.items, "t").materials[0]].thin);
    const Scene solid = sceneOf(cubeAndLight(), {"block.cube.material=glass-clear"});
    CHECK_FALSE(warns(solid, "glass-on-open-mesh"));
    CHECK_FALSE(solid.materials[named(solid.items, "cube").materials[0]].thin);
}

TEST_CASE("a height scales a mesh of any unit, as far as floats go", "[read]") {
    // Both are 2 wide, 2 deep and 2 high in their own unit of 3e38 or 5e-40.
    for (const char* name : {"tetra_vast.obj", "tetra_minute.obj"}) {
        INFO(name);
        const Scene scene = sceneOf(cubeAndLight() + "[[product]]\nname = \"p\"\nheight = 12\n" +
                                    "at = [50, 0, 0]\nmesh = \"" + KEYFALL_TESTS + "/good_obj/" +
                                    name + "\"\n");
        const Item& p = named(scene.items, "p");
        CHECK(p.mesh.closed);
        REQUIRE(p.mesh.triangle.size() == 4);
        const Box3 box = boundsOf(p.mesh);
        checkCm(box.low, {44, 0, -6});
        checkCm(box.high, {56, 12, 6});
    }
}
