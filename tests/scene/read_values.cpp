// One value each: units, defaults, which of two keys counts. Not here: whole scenes
// (read_good.cpp), default places of probes (read_defaults.cpp).
#include <cmath>
#include <glm/gtc/constants.hpp>

#include "scene/lamp_shape.h"
#include "scene/placement.h"
#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// A light's flux at full power with a lamp of its own, both written by the test.
double fluxWith(const std::string& lampKeys, const std::string& lightKeys) {
    return sceneOf("[lamp.mine]\nshape = \"sphere\"\nsize = [5]\n" + lampKeys +
                   "\n[[light]]\nlamp = \"mine\"\nat = [0, 50, 0]\naim = [0, 0, 0]\n" + lightKeys)
        .lights[0]
        .fullFlux;
}

std::string probe(const std::string& keys) {
    return cubeAndLight() + "[[probe]]\nname = \"p\"\nat = [0, 5, 30]\n" + keys;
}

}  // namespace

TEST_CASE("a frame is tilted first, then turned", "[read][place]") {
    // Tilt leans the top to +z; the turn then takes +z to +x. The other way round it stays at +z.
    const double quarter = glm::half_pi<double>();
    checkDirection(turnedFrame({quarter, quarter, 0.0}).y, {1, 0, 0});
}

TEST_CASE("a light placed by `around` aims at that point, wherever the camera looks",
          "[read][place]") {
    const Scene scene = sceneOf(
        "[camera]\nlook_at = [0, 5, 0]\n" +
        cubeAndLight("around = { point = [20, 0, 0], distance = 50 }\n"));
    checkDirection(scene.lights[0].shape.frame.z, {0, 0, -1});
}

TEST_CASE("a light without a place stands 60 degrees right, 35 up, 80 cm off", "[read][defaults]") {
    // (80 cos35 sin60, 5 + 80 sin35, 80 cos35 cos60)
    checkCm(sceneOf(cubeAndLight()).lights[0].shape.centre_m, {56.7525, 50.8861, 32.7661});
}

TEST_CASE("a camera without a place looks 10 degrees down", "[read][defaults]") {
    const glm::dvec3 way(sceneOf(cubeAndLight()).camera.lens_m - glm::vec3(0, 0.05F, 0));
    CHECK(glm::degrees(std::asin(way.y / glm::length(way))) == Approx(10.0));
}

TEST_CASE("lens and sensor are in millimetres; the circle is the diagonal over 1442", "[read]") {
    const Camera camera = sceneOf("[camera]\nshift = [3, -2]\n").camera;
    CHECK(camera.shift_m.x == Approx(0.003));
    CHECK(camera.shift_m.y == Approx(-0.002));
    CHECK(camera.circleOfConfusion_m == Approx(std::hypot(0.036, 0.024) / 1442.0));
}

TEST_CASE("pixels that are not given are square, 6000 along the longer side", "[read][defaults]") {
    CHECK(sceneOf("[camera]\n").camera.electronics.pixels == glm::ivec2(6000, 4000));
    CHECK(sceneOf("[camera]\nsensor = [24, 36]\n").camera.electronics.pixels == glm::ivec2(4000, 6000));
    CHECK(sceneOf("[camera]\nsensor = [44, 33]\n").camera.electronics.pixels == glm::ivec2(6000, 4500));
}

TEST_CASE("a power that the lamp does not have is a warning, whatever the command", "[read][power]") {
    // Lowest 1/256, a tenth of a stop; 60 % is 0.737 stop under full.
    const auto lamp = [](const std::string& power, const std::string& more = "") {
        return sceneOf("[lamp.mine]\nshape = \"sphere\"\nsize = [5]\nlowest_power = \"1/256\"\npower_step = 0.1\n[[light]]\n"
                       "name = \"key\"\nlamp = \"mine\"\nlumens = 1000\nat = [0, 50, 50]\naim = [0, 0, 0]\npower = \"" + power + "\"\n" + more);
    };
    CHECK(warns(lamp("1/512"), "power-under-lowest"));
    CHECK_FALSE(warns(lamp("1/256"), "power-under-lowest"));
    CHECK_FALSE(warns(lamp("1/256"), "power-off-step"));
    CHECK_FALSE(warns(lamp("1/512", "on = false\n"), "power-under-lowest"));
    CHECK_FALSE(warns(lamp("0"), "power-under-lowest"));
    CHECK(warns(lamp("60%"), "power-off-step"));
    CHECK_FALSE(warns(lamp("1/4+0.3"), "power-off-step"));
}

TEST_CASE("the close-up loss stays in unless it is compensated", "[read]") {
    CHECK_FALSE(sceneOf(cubeAndLight()).camera.closeUpCompensated);
    CHECK(sceneOf("[camera]\nclose_up = \"compensated\"\n").camera.closeUpCompensated);
    CHECK_FALSE(sceneOf("[camera]\nclose_up = \"as-metered\"\n").camera.closeUpCompensated);
}

TEST_CASE("a meter's disc is 2 cm wide, a spot sees 1 degree", "[read][probe]") {
    CHECK(sceneOf(probe("")).probes[0].receptorRadius_m == Approx(0.01));
    const auto angle = [](const std::string& keys) {
        return sceneOf(probe("kind = \"spot\"\n" + keys)).probes[0].spotAngle_rad;
    };
    CHECK(angle("") == Approx(glm::pi<double>() / 180.0));
    CHECK(angle("spot_angle = 2\n") == Approx(glm::pi<double>() / 90.0));
}

TEST_CASE("an ISO beside a reading names its exact step: 125 is 125.99", "[read][rating]") {
    // H = C N^2 / S: the flux goes with 1/S, and S = 100 * 2^(1/3).
    const auto flux = [](const std::string& iso) {
        return fluxWith("", "kind = \"flash\"\nrated_with = \"none\"\n"
                            "reads = { aperture = 16, iso = " + iso + " }\n");
    };
    CHECK(flux("100") / flux("125") == Approx(std::cbrt(2.0)));
}

TEST_CASE("efficacy: 30 lm·s a W·s, 90 lm a W where the lamp gives none for that kind",
          "[read][rating]") {
    CHECK(fluxWith("", "energy = 100\n") == Approx(3000.0));
    CHECK(fluxWith("", "watts = 100\n") == Approx(9000.0));
    CHECK(fluxWith("lumens_per_watt = 100\n", "energy = 100\n") == Approx(3000.0));
    CHECK(fluxWith("lumens_per_watt = 100\n", "watts = 100\n") == Approx(10000.0));
    CHECK(fluxWith("lumen_seconds_per_watt_second = 20\n", "watts = 100\n") == Approx(9000.0));
    CHECK(fluxWith("lumen_seconds_per_watt_second = 20\n", "energy = 100\n") == Approx(2000.0));
}

TEST_CASE("a light's colour temperature counts before its lamp's spectrum", "[read][colour]") {
    const Scene scene = sceneOf(
        "[lamp.mine]\nshape = \"disc\"\nsize = [5]\nspectrum = \"cie-d65\"\n" +
        cubeAndLight("lamp = \"mine\"\ncolour_temperature = 3200\n"));
    CHECK(scene.lights[0].colourTemperature_K == Approx(3200.0));
    const BandXYZ warm = bandXYZ(lampSpectrum(3200.0));
    CHECK(scene.lights[0].bands.total().x == Approx(warm.total().x));
}

TEST_CASE("a card's first size is its width", "[read][place]") {
    const Scene scene = sceneOf(cubeAndLight() +
                                "[[board]]\nname = \"card\"\nsize = [30, 40]\n"
                                "at = [0, 30, 50]\naim = [0, 30, 0]\n");
    checkCm(boundsOf(named(scene.items, "card").mesh).size(), {30, 40, 0});
}

TEST_CASE("--set reaches into the aim of a mirror", "[read][set]") {
    const std::string mirror = cubeAndLight("at = [50, 5, 50]\n") +
                               "[[board]]\nname = \"mirror\"\nat = [0, 5, 50]\n"
                               "aim = { from = \"key\", to = \"cube\" }\n";
    const Scene scene = sceneOf(mirror, {"board.mirror.aim.to=[0, 55, 50]"});
    checkDirection(named(scene.items, "mirror").frame.z, glm::normalize(glm::vec3(1, 1, 0)));
}

TEST_CASE("--set names parts of a mesh whole, with the points in their names", "[read][set]") {
    const Scene scene = sceneOf(
        cubeAndLight() + "[[product]]\nname = \"p\"\nunit = \"cm\"\nat = [30, 0, 0]\nmesh = \"" +
            KEYFALL_TESTS + "/good_obj/point_in_name.obj\"\n",
        {"product.p.materials.lid.001=slate"});
    const Item& p = named(scene.items, "p");
    REQUIRE(p.materials.size() == 2);
    CHECK(scene.materials[p.materials[0]].name == "slate");
    CHECK(scene.materials[p.materials[1]].name != "slate");
}

TEST_CASE("a flag is black, whatever a file calls black", "[read][material]") {
    const Scene scene = sceneOf(
        cubeAndLight() + "[material.black]\nbase = \"glass\"\n" +
        "[[flag]]\nname = \"cutter\"\nat = [0, 30, 50]\naim = [0, 30, 0]\n"
        "[[board]]\nname = \"card\"\nsurface = \"black\"\nat = [0, 30, 60]\naim = [0, 30, 0]\n");
    const auto materialOf = [&scene](const std::string& name) {
        return scene.materials[named(scene.items, name).materials[0]];
    };
    CHECK(materialOf("cutter").base == Base::diffuse);
    CHECK(materialOf("cutter").reflectance.largest() < 0.1F);
    CHECK(materialOf("card").base == Base::glass);
}

TEST_CASE("definitions may name their source, and their defaults are recorded",
          "[read][material]") {
    const Scene scene = sceneOf(cubeAndLight() +
                                "[material.mine]\nbase = \"plastic\"\nsource = \"measured\"\n"
                                "[lamp.mine]\nshape = \"disc\"\nsize = [5]\nsource = \"maker\"\n");
    CHECK(defaultOf(scene, "material.mine.roughness") == "0");
    CHECK(defaultOf(scene, "material.mine.ior") == "1.5");
    CHECK(defaultOf(scene, "lamp.mine.colour_temperature") == "5500");
    CHECK(defaultOf(scene, "lamp.mine.both_sides") == "false");
    CHECK(defaultOf(scene, "lamp.mine.lumens_per_watt") == "90");
    CHECK(defaultOf(scene, "lamp.mine.lumen_seconds_per_watt_second") == "30");
}

TEST_CASE("each word of limits.prefer is its own wish", "[read][limits]") {
    using Prefer = Limits::Prefer;
    const Scene scene = sceneOf(cubeAndLight() +
                                "[limits]\nprefer = [\"flash\", \"ambient\", \"blur\", \"grain\", \"depth\", \"continuous\"]\n");
    CHECK(scene.limits.prefer == std::vector<Prefer>{Prefer::flash, Prefer::ambient, Prefer::blur, Prefer::grain,
                                                     Prefer::depth, Prefer::continuous});
}

TEST_CASE("a light with a mistake is not also called a scene without light", "[read][bad]") {
    for (const Diagnostic& d : readText(cubeAndLight("power = 3\n")).diagnostics)
        CHECK(d.text.find("no light is on") == std::string::npos);
    CHECK(warns(sceneOf(cubeAndLight("power = 0\n")), "no-light"));
}

TEST_CASE("a lamp holds what lies within its surface", "[lamp]") {
    LampShape lamp;
    lamp.centre_m = {1, 0, 0};
    lamp.a_m = 0.2F;
    CHECK(holds(lamp, {1.09F, 0, 0}));
    CHECK_FALSE(holds(lamp, {1.11F, 0, 0}));
    lamp.kind = LampKind::tube;  // 20 cm along x, 2 cm thick
    lamp.b_m = 0.02F;
    CHECK(holds(lamp, {1.09F, 0.009F, 0}));
    CHECK_FALSE(holds(lamp, {1.09F, 0.011F, 0}));
    CHECK_FALSE(holds(lamp, {1.11F, 0, 0}));
    lamp.kind = LampKind::ring;  // 20 cm across the tube's middle, about z
    CHECK(holds(lamp, {1, 0.109F, 0}));
    CHECK_FALSE(holds(lamp, {1, 0.111F, 0}));
    CHECK_FALSE(holds(lamp, {1, 0, 0}));
    lamp.kind = LampKind::disc;
    CHECK_FALSE(holds(lamp, {1, 0, 0}));
}
