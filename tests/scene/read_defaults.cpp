// What a short scene gets: camera, light, table, probes; and where meters may stand.
#include <glm/gtc/constants.hpp>

#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

const std::string kShort = std::string("[[product]]\nmesh = \"") + KEYFALL_ROOT +
                           "/assets/meshes/tea_caddy.obj\"\nheight = 14\n[[light]]\n";

/// A 10 cm cube on nothing, seen straight from the front, lit from the right.
std::string frontView(const std::string& more = {}) {
    return "[camera]\nat = [0, 5, 100]\nlook_at = [0, 5, 0]\n" + cubeAndLight("at = [80, 5, 0]\n") +
           more;
}

std::string probe(const std::string& keys) {
    return "[[probe]]\nname = \"p\"\n" + keys;
}

}  // namespace

TEST_CASE("a product and a light are a complete scene", "[read][defaults]") {
    const Scene scene = sceneOf(kShort);
    CHECK(scene.hasCamera);
    CHECK(scene.lights.size() == 1);
    CHECK(scene.lights[0].fluxAsSet() > 0.0);
    CHECK(scene.probes.size() == 4);
    CHECK(scene.probesAreDefault);
    CHECK(named(scene.items, "table").kind == ItemKind::table);
    CHECK(named(scene.items, "backdrop").kind == ItemKind::backdrop);
    for (const char* key :
         {"camera.at", "camera.look_at", "camera.aperture", "camera.focal_length", "picture.width",
          "table.material", "backdrop.distance", "product.product-1.name", "product.product-1.at",
          "light.light-1.kind", "light.light-1.lamp", "light.light-1.energy",
          "light.light-1.around", "light.light-1.power", "probe.front.at", "probe.background.at"}) {
        INFO(key);
        CHECK(defaultOf(scene, key) != "(not recorded)");
    }
    CHECK(defaultOf(scene, "camera.aperture") == "11");
    CHECK(defaultOf(scene, "product.product-1.height") == "(not recorded)");
}

TEST_CASE("the default camera sees the whole product and fills about half the picture with it",
          "[read][defaults]") {
    // Projected through the lens centre onto the sensor plane, corner by corner.
    const Scene scene = sceneOf(kShort);
    const Camera& camera = scene.camera;
    const Box3 box = boundsOf(named(scene.items, "product-1").mesh);
    const double v_m = camera.focalLength_m * camera.focusDistance_m /
                       (camera.focusDistance_m - camera.focalLength_m);
    glm::dvec2 low(1e9), high(-1e9);
    for (int i = 0; i < 8; ++i) {
        const glm::vec3 corner((i & 1) ? box.high.x : box.low.x, (i & 2) ? box.high.y : box.low.y,
                               (i & 4) ? box.high.z : box.low.z);
        const glm::dvec3 p(camera.frame.toLocal(corner - camera.lens_m));
        REQUIRE(p.z > 0.0);
        const glm::dvec2 image = glm::dvec2(p.x, p.y) / p.z * v_m;
        low = glm::min(low, image);
        high = glm::max(high, image);
    }
    const glm::dvec2 share = (high - low) / camera.sensor_m;
    CHECK(std::max(share.x, share.y) > 0.4);
    CHECK(std::max(share.x, share.y) < 0.6);
}

TEST_CASE("a scene without product and block gets no table and no wall", "[read][defaults]") {
    const Scene scene = sceneOf("[[light]]\nlumens = 100\nat = [0, 50, 0]\naim = [0, 0, 0]\n");
    CHECK(scene.items.empty());
    CHECK(scene.probes.empty());
    CHECK(defaultOf(scene, "table.shape") == "none");
}

TEST_CASE("the default probes stand in front, 5 mm beside, and on the background",
          "[read][defaults][probe]") {
    const Scene scene = sceneOf(frontView());
    const Probe& front = named(scene.probes, "front");
    checkCm(front.at_m, {0, 5, 5.2});
    checkDirection(front.facing, {0, 0, 1});
    checkCm(named(scene.probes, "lit-side").at_m, {5.5, 5, 0});
    checkDirection(named(scene.probes, "lit-side").facing, {1, 0, 0});
    checkCm(named(scene.probes, "shadow-side").at_m, {-5.5, 5, 0});
    checkDirection(named(scene.probes, "shadow-side").facing, {-1, 0, 0});
}

TEST_CASE("the background probe lies halfway between the product's top and the frame's top",
          "[read][defaults][probe]") {
    // Thin lens: v = 85 * 1000 / 915 mm; the frame's top is at 12 / v = 0.129176, the cube's top
    // edge at 5 cm / 95 cm = 0.052632; halfway, 160 cm away on the wall, is 5 + 160 * 0.090904 cm.
    const Scene scene = sceneOf(
        "[camera]\nat = [0, 5, 100]\nlook_at = [0, 5, 0]\n[table]\nshape = \"none\"\n"
        "[[block]]\nname = \"cube\"\nsize = [10, 10, 10]\n[[light]]\nlumens = 9\n");
    const Probe& background = named(scene.probes, "background");
    CHECK(background.kind == ProbeKind::spot);
    CHECK(background.spotAngle_rad == Approx(glm::radians(1.0)));
    checkCm(background.at_m, {0, 19.5446, -60}, 0.01);
}

TEST_CASE("left and right are the camera's, and the lit side follows the light",
          "[read][defaults][probe]") {
    const Scene left = sceneOf(frontView(), {"light.key.at=[-80, 5, 0]"});
    checkCm(named(left.probes, "lit-side").at_m, {-5.5, 5, 0});
    const Scene fromBehind =
        sceneOf(frontView(), {"camera.at=[100, 5, 0]", "light.key.at=[0, 5, 80]"});
    checkCm(named(fromBehind.probes, "front").at_m, {5.2, 5, 0});
    checkCm(named(fromBehind.probes, "lit-side").at_m, {0, 5, 5.5});
}

// The cube of frontView fills z = -5 to 5: a lamp of radius r at z = 5 + d reaches r - d into it.
TEST_CASE("a lamp that cuts a surface is told with how far it reaches in", "[read][light]") {
    const auto warned = [](const std::string& keys) {
        const std::string text =
            frontView() +
            "[lamp.bulb]\nshape = \"sphere\"\nsize = [3]\n[lamp.plate]\nshape = \"panel\"\n"
            "size = [40, 40]\n[lamp.hoop]\nshape = \"ring\"\nsize = [20, 2]\n[[light]]\nname = "
            "\"near\"\nlumens = 10\n" +
            keys;
        const Scene scene = sceneOf(text, {"table.shape=none"});
        for (const Warning& w : scene.warnings)
            if (w.code == "lamp-in-surface") return w.text;
        return std::string();
    };
    CHECK(warned("lamp = \"bulb\"\nat = [1, 5, 6.6]\n").empty());
    CHECK_THAT(warned("lamp = \"bulb\"\nat = [1, 5, 6.1]\n"),
               Catch::Matchers::Contains("reaches 0.4 cm into \"cube\""));
    CHECK(warned("lamp = \"bulb\"\nat = [1, 5, 6.1]\non = false\n").empty());
    // 20 cm to its edges, upright, square to the cube: its left edge is 6 cm under the cube's face at
    // x = 5.
    CHECK_THAT(warned("lamp = \"plate\"\nat = [19, 5, 0]\naim = [19, 5, 90]\n"),
               Catch::Matchers::Contains("reaches 6 cm into \"cube\""));
    CHECK(warned("lamp = \"plate\"\nat = [19, 5, 6]\naim = [19, 5, 90]\n").empty());
    // A ring may stand around a thing.
    CHECK(warned("lamp = \"hoop\"\nat = [0, 5, 0]\naim = [0, 5, 90]\n").empty());
}

TEST_CASE("an incident probe keeps 2 mm from a surface", "[read][probe]") {
    const Scene near = sceneOf(frontView(probe("at = [0, 5, 5.05]\n")));
    checkCm(named(near.probes, "p").at_m, {0, 5, 5.2});
    CHECK(warns(near, "probe-moved"));
    const Scene on = sceneOf(frontView(probe("at = [0, 10, 0]\nfacing = \"up\"\n")));
    checkCm(named(on.probes, "p").at_m, {0, 10.2, 0});
    const Scene clear = sceneOf(frontView(probe("at = [0, 5, 5.2]\n")));
    checkCm(named(clear.probes, "p").at_m, {0, 5, 5.2});
    CHECK_FALSE(warns(clear, "probe-moved"));
}

TEST_CASE("in a corner a probe keeps 2 mm from both walls", "[read][probe]") {
    const std::string floor = "[[block]]\nname = \"floor\"\nsize = [60, 1, 60]\nat = [0, -2, 0]\n";
    const Scene scene = sceneOf(frontView(floor + probe("at = [0, -0.95, 5.05]\n")),
                                {"block.cube.at=[0, -0.98, 0]"});
    const glm::vec3 at = named(scene.probes, "p").at_m;
    CHECK(at.z >= 0.052F - 1e-5F);
    CHECK(at.y >= -0.008F - 1e-5F);
}

TEST_CASE("a probe in front of a card stays on the side that it faces", "[read][probe]") {
    const std::string card = "[[board]]\nname = \"card\"\nat = [0, 5, 30]\naim = [0, 5, 90]\n";
    const auto z = [&](const std::string& normal) {
        const Scene scene =
            sceneOf(frontView(card + probe("at = [0, 5, 30]\nnormal = " + normal + "\n")));
        return static_cast<double>(named(scene.probes, "p").at_m.z);
    };
    CHECK(z("[0, 0, 1]") == Approx(0.302));
    CHECK(z("[0, 0, -1]") == Approx(0.298));
}

TEST_CASE("on_surface: the first surface from the camera through `at`", "[read][probe]") {
    const Scene spot =
        sceneOf(frontView(probe("at = [0, 5, 0]\nkind = \"spot\"\non_surface = \"cube\"\n")));
    checkCm(named(spot.probes, "p").at_m, {0, 5, 5});
    CHECK(named(spot.probes, "p").onSurfaceItem == "cube");
    const Scene flat = sceneOf(frontView(probe("at = [0, 5, 0]\non_surface = \"cube\"\n")));
    checkCm(named(flat.probes, "p").at_m, {0, 5, 5.2});
}

TEST_CASE("a receptor's kind, size and facing", "[read][probe]") {
    const Scene scene = sceneOf(
        frontView(probe("at = [0, 30, 0]\nkind = \"dome\"\nreceptor = 5\nfacing = \"key\"\n")));
    const Probe& p = named(scene.probes, "p");
    CHECK(p.kind == ProbeKind::dome);
    CHECK(p.receptorRadius_m == Approx(0.025));
    checkDirection(p.facing, glm::normalize(glm::vec3(80, -25, 0)));
    CHECK_FALSE(scene.probesAreDefault);
}

TEST_CASE("a probe inside a sphere is inside, one beside it is not", "[read][probe]") {
    const auto inside = [](const std::string& at) {
        const ReadResult result = readText(
            frontView(probe("at = " + at + "\n")),
            {"block.cube.shape=sphere", "block.cube.size=[10]", "block.cube.at=[0, 0, 0]"});
        return !result.scene.has_value();
    };
    CHECK(inside("[0, 5, 4]"));
    CHECK(inside("[2, 7, 3]"));
    CHECK_FALSE(inside("[4, 9, 4]"));  // in the sphere's box, not in the sphere
}

TEST_CASE("a material that says no colour is mid grey, and the report says so",
          "[read][defaults]") {
    const std::string set = cubeAndLight() + "[material.mine]\nbase = \"plastic\"\n";
    CHECK(defaultOf(sceneOf(set), "material.mine.reflectance") == "0.18");
    CHECK(defaultOf(sceneOf(set + "colour = [1, 0, 0]\n"), "material.mine.reflectance") ==
          "(not recorded)");
    const std::string glass = cubeAndLight() + "[material.mine]\nbase = \"glass\"\n";
    CHECK(defaultOf(sceneOf(glass), "material.mine.reflectance") == "(not recorded)");
}

TEST_CASE("the lit side is the one with more exposure: flash against LED, grazing light, a flag",
          "[read][defaults][probe]") {
    const auto litAt = [](const std::string& set) {
        return static_cast<double>(named(sceneOf(set).probes, "lit-side").at_m.x);
    };
    // 5000 lm for 1/128 s are 39 lm*s, against 1000 lm*s from as far.
    CHECK(litAt(frontView("[[light]]\nname = \"led\"\nkind = \"continuous\"\nlumens = 5000\n"
                          "at = [-80, 5, 0]\n[[light]]\nname = \"flash\"\nlumen_seconds = 1000\n"
                          "at = [80, 5, 0]\n")) > 0.0);
    // From the front, 5 mm beyond the right side's plane: near, but at 0.01 of the cosine.
    const std::string left = "[[light]]\nname = \"left\"\nlumens = 1000\nat = [-80, 5, 0]\n";
    const std::string text = frontView(left);
    const std::string at = "at = [80, 5, 0]\n";
    std::string grazing = text;
    grazing.replace(grazing.find(at), at.size(), "at = [6, 5, 50]\n");
    CHECK(litAt(grazing) < 0.0);
    // The right one is stronger, and a flag stands before it.
    const std::string weak = "[[light]]\nname = \"left\"\nlumens = 100\nat = [-80, 5, 0]\n";
    CHECK(litAt(frontView(weak)) > 0.0);
    CHECK(litAt(frontView(weak + "[[flag]]\nname = \"cutter\"\nat = [40, 5, 0]\n"
                                 "aim = [0, 5, 0]\n")) < 0.0);
}

TEST_CASE("default probes stand halfway in a gap that is too narrow for them",
          "[read][defaults][probe]") {
    const auto beside = [](const std::string& x) {
        return frontView("[[block]]\nname = \"d\"\nsize = [4, 10, 10]\nat = [" + x + ", 0, 0]\n");
    };
    checkCm(named(sceneOf(beside("7.2")).probes, "lit-side").at_m, {5.1, 5, 0});
    checkCm(named(sceneOf(beside("7")).probes, "lit-side").at_m, {5, 5, 0});
    checkCm(named(sceneOf(beside("9")).probes, "lit-side").at_m, {5.5, 5, 0});
}

TEST_CASE("the background probe follows the lens's shift, and the default disc is 2 cm",
          "[read][defaults][probe]") {
    // As above with 6 mm up: the frame's top is at 18 / v = 0.193765, halfway is 0.123198.
    const Scene scene = sceneOf(
        "[camera]\nat = [0, 5, 100]\nlook_at = [0, 5, 0]\nshift = [0, 6]\n[table]\nshape = "
        "\"none\"\n[[block]]\nname = \"cube\"\nsize = [10, 10, 10]\n[[light]]\nlumens = 9\n");
    checkCm(named(scene.probes, "background").at_m, {0, 24.7117, -60}, 0.01);
    for (const char* name : {"front", "lit-side", "shadow-side"})
        CHECK(named(scene.probes, name).receptorRadius_m == Approx(0.01));
}
