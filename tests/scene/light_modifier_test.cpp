// Lights that wear a modifier: where exit and lamp come, what stands on the set, what a figure rates.
// Not here: building modifiers (modifier_*), solving a rating (meter).
#include <cmath>

#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// A 3 cm ball 3 cm in front of the back of a tin 8 cm deep: its centre is 5 cm behind the mouth. In
/// front of an umbrella 20 cm deep, 50 cm from the apex: 30 cm before the rim.
constexpr const char* kDefinitions = R"(
[lamp.ball]
shape = "sphere"
size = [3]
[modifier.tin]
shape = "bowl"
profile = [[4, 0], [9, 8]]
lamp_at = 3
[modifier.brolly]
shape = "umbrella"
curve = "paraboloid"
mouth = 80
depth = 20
lamp_at = 50
)";

std::string light(const std::string& name, const std::string& more) {
    return "[[light]]\nname = \"" + name + "\"\nlamp = \"ball\"\n" + more + "\n";
}

constexpr const char* kCube = "[[block]]\nname = \"cube\"\nsize = [10, 10, 10]\n";

Scene setOf(const std::string& lights, const std::vector<std::string>& set = {}) {
    return sceneOf(kCube + lights + kDefinitions, set);
}

Light wornLight(const std::string& more, const std::vector<std::string>& set = {}) {
    return setOf(light("key", more), set).lights[0];
}

std::vector<const Item*> modifiersOf(const Scene& scene, std::size_t light) {
    std::vector<const Item*> list;
    for (const Item& item : scene.items)
        if (item.kind == ItemKind::modifier && item.light == light) list.push_back(&item);
    return list;
}

constexpr const char* kFront = "lumens = 1000\nat = [0, 50, 100]\naim = [0, 50, 0]\n";
const std::string kTin = "modifier = \"tin\"\n", kToLamp = "measured_to = \"lamp\"\n";

}  // namespace

TEST_CASE("at is the middle of the modifier's mouth, or with measured_to the lamp", "[read][worn]") {
    const Light exit = wornLight(kFront + kTin), lamp = wornLight(kFront + kTin + kToLamp);
    checkCm(exit.exit_m, {0, 50, 100});
    checkCm(exit.shape.centre_m, {0, 50, 105});
    CHECK(exit.exitDistance_m == Approx(1.0));
    CHECK(exit.lampDistance_m == Approx(1.05));
    checkCm(lamp.shape.centre_m, {0, 50, 100});
    checkCm(lamp.exit_m, {0, 50, 95});
    CHECK(lamp.lampDistance_m == Approx(1.0));
    CHECK(lamp.exitDistance_m == Approx(0.95));
    CHECK(exit.modifier == "tin");
    CHECK(exit.fullFlux == 1000.0);  // said of the bare lamp
    CHECK_FALSE(exit.rating.has_value());
    checkDirection(exit.axes.z, {0, 0, -1});
    checkDirection(exit.shape.frame.z, {0, 0, -1});
}

TEST_CASE("a bare lamp is its own exit, whatever is measured to", "[read][worn]") {
    for (const std::string& more : {std::string(), kToLamp}) {
        const Light bare = wornLight(kFront + more);
        CHECK(bare.body == nullptr);
        checkCm(bare.exit_m, {0, 50, 100});
        checkCm(bare.shape.centre_m, {0, 50, 100});
        CHECK(bare.exitDistance_m == bare.lampDistance_m);
        CHECK(modifiersOf(setOf(light("key", kFront)), 0).empty());
    }
}

TEST_CASE("aimed askew and rolled, lamp and mouth stay on the axis, 5 cm apart", "[read][worn]") {
    const std::string askew = "lumens = 1000\nat = [30, 80, 70]\naim = [10, 5, -20]\nroll = 35\n";
    for (const std::string& more : {std::string(), kToLamp}) {
        const Light key = wornLight(askew + kTin + more);
        const glm::vec3 way = key.exit_m - key.shape.centre_m;
        CHECK(glm::length(way) == Approx(0.05).epsilon(1e-5));
        checkDirection(glm::normalize(way), glm::normalize(glm::vec3(-20, -75, -90)));
        checkDirection(key.axes.z, glm::normalize(glm::vec3(-20, -75, -90)));
        CHECK(key.axes.x.y != Approx(0.0F).margin(0.1));  // roll turns the width off the level
        CHECK(key.lampDistance_m - key.exitDistance_m == Approx(0.05).epsilon(1e-5));
    }
}

TEST_CASE("the lamp of an umbrella stands before the rim and looks back into it", "[read][worn]") {
    const Light key = wornLight(std::string(kFront) + "modifier = \"brolly\"\n");
    checkCm(key.exit_m, {0, 50, 100});
    checkCm(key.shape.centre_m, {0, 50, 70});
    checkDirection(key.axes.z, {0, 0, -1});
    checkDirection(key.shape.frame.z, {0, 0, 1});
    CHECK(key.exitDistance_m == Approx(1.0));
    CHECK(key.lampDistance_m == Approx(0.7));
}

TEST_CASE("a modifier's surfaces are items behind its mouth; off or at power 0 they stay",
          "[read][worn]") {
    const std::string board = "[[board]]\nname = \"card\"\naround = { angle = -90, distance = 40 }\n";
    for (const char* state : {"on = true", "on = false", "power = \"0\""}) {
        const Scene scene = setOf(light("key", kFront + kTin + state) + board);
        const auto parts = modifiersOf(scene, 0);
        REQUIRE(parts.size() == scene.lights[0].body->parts.size());
        REQUIRE_FALSE(parts.empty());
        float front = -1.0F, back = 1.0F;
        for (const Item* part : parts) {
            CHECK(part->name == "key");
            for (const glm::vec3& p : part->mesh.position_m) {
                front = std::max(front, glm::dot(p - scene.lights[0].exit_m, scene.lights[0].axes.z));
                back = std::min(back, glm::dot(p - scene.lights[0].exit_m, scene.lights[0].axes.z));
                CHECK(glm::distance(p, scene.lights[0].exit_m) < 0.13F);  // 9 and 8 cm: 12.04
            }
        }
        CHECK(front == Approx(0.0F).margin(2e-3));
        CHECK(back == Approx(-0.08F).margin(3e-3));  // the shell has a thickness
        CHECK(scene.items.back().kind == ItemKind::modifier);
    }
}

TEST_CASE("each light has its own items and materials; a bare one in between has none",
          "[read][worn]") {
    const Scene scene = setOf(light("key", kFront + kTin) +
                              light("hair", "lumens = 10\nat = [0, 90, -90]\naim = [0, 5, 0]") +
                              light("rim", "lumens = 10\nat = [90, 50, 0]\naim = [0, 5, 0]\n" + kTin));
    const auto key = modifiersOf(scene, 0), rim = modifiersOf(scene, 2);
    REQUIRE(key.size() == rim.size());
    CHECK(modifiersOf(scene, 1).empty());
    for (std::size_t i = 0; i < key.size(); ++i) {
        CHECK(rim[i]->name == "rim");
        CHECK(rim[i]->materials[0] != key[i]->materials[0]);
        CHECK(scene.materials.at(rim[i]->materials[0]).name == scene.materials.at(key[i]->materials[0]).name);
        CHECK(boundsOf(rim[i]->mesh).low.x > 0.5F);
    }
    CHECK(scene.lights[0].body == scene.lights[2].body);  // built once
}

TEST_CASE("one modifier around two lamps is two bodies", "[read][worn]") {
    // 3 cm in front of the back there is room for the ball; a 9 cm one has to stand farther forward.
    const Scene scene = setOf(light("key", kFront + kTin) +
                              "[[light]]\nname = \"rim\"\nlamp = \"flash-dome\"\nlumens = 10\n" +
                              "at = [90, 50, 0]\naim = [0, 5, 0]\nmodifier = \"tub\"\n" +
                              light("hair", "lumens = 10\nat = [-90, 50, 0]\naim = [0, 5, 0]\n"
                                            "modifier = \"tub\"") +
                              "[modifier.tub]\nshape = \"bowl\"\n"
                              "profile = [[9, 0], [15, 15]]\nlamp_at = 3\n");
    CHECK(scene.lights[2].lampDistance_m - scene.lights[2].exitDistance_m == Approx(0.12).margin(1e-4));
    CHECK(scene.lights[1].lampDistance_m - scene.lights[1].exitDistance_m < 0.106);
}

TEST_CASE("a figure rated with a modifier waits to be solved: its light at full power",
          "[read][rating][worn]") {
    // Guide number: I = C GN^2 / S = 2.5 GN^2 cd*s (ISO 2720:1974 with C = 250, ISO 100).
    const std::string place = "at = [0, 50, 100]\naim = [0, 50, 0]\nrated_with = \"tin\"\n";
    const Light guide = wornLight(place + "guide_number = 20\nrated_power = \"1/4\"");
    CHECK(std::isnan(guide.fullFlux));
    REQUIRE(guide.rating.has_value());
    CHECK(guide.rating->isIntensity);
    CHECK(guide.rating->value == Approx(4 * 2.5 * 400));
    CHECK(guide.rating->body->name == "tin");
    CHECK(guide.rating->shape.kind == LampKind::sphere);
    CHECK_FALSE(guide.fluxUncertain);
    const Light lux = wornLight(place + "kind = \"continuous\"\nlux_at_1m = 9000");
    CHECK_FALSE(lux.rating->isIntensity);
    CHECK(lux.rating->value == Approx(9000));
    CHECK(lux.rating->distance_m == 1.0);
    // f/16 at ISO 100: H = 2.5 * 256 lx*s; f/4 and 1/60 (exactly 1/64 s): E = 2.5 * 16 * 64 lx.
    const Light flash = wornLight(place + "reads = { aperture = 16, distance = 60 }");
    CHECK(flash.rating->value == Approx(640));
    CHECK(flash.rating->distance_m == Approx(0.6));
    const Light steady =
        wornLight(place + "kind = \"continuous\"\nreads = { aperture = 4, shutter = \"1/60\" }");
    CHECK(steady.rating->value == Approx(2560));
}

TEST_CASE("a rating does not depend on what the lamp wears now", "[read][rating][worn]") {
    const std::string rated =
        "at = [0, 50, 100]\naim = [0, 50, 0]\nguide_number = 20\nrated_with = \"tin\"\nmodifier = \"none\"";
    for (const char* now : {"none", "tin", "brolly"}) {
        const Light key = wornLight(rated, {std::string("light.key.modifier=") + now});
        CHECK(key.modifier == now);
        CHECK((key.body == nullptr) == (key.modifier == "none"));
        CHECK(key.rating->value == Approx(1000));
        CHECK(key.rating->body->name == "tin");
        CHECK(key.rating->gelFactor == 1.0);
    }
    // With "none" the closed form of the ball: Phi = 4 pi I.
    const Light bare = wornLight(rated, {"light.key.rated_with=none", "light.key.modifier=tin"});
    CHECK_FALSE(bare.rating.has_value());
    CHECK(bare.fullFlux == Approx(4 * M_PI * 1000).epsilon(1e-6));
}

TEST_CASE("a rating is of the lamp without gels; their share is kept for the solved flux",
          "[read][rating][worn][gel]") {
    const Light key = wornLight(
        "at = [0, 50, 100]\naim = [0, 50, 0]\nguide_number = 20\nrated_with = \"tin\"\n"
        "colour_temperature = 5500\ngel = [\"cto-half\", \"nd-03\"]");
    CHECK(key.rating->value == Approx(1000));
    CHECK(key.rating->gelFactor == Approx(0.35).epsilon(1e-6));
    const glm::dvec3 day = bandXYZ(lampSpectrum(5500.0)).total();
    CHECK(key.rating->bands.total().z == Approx(day.z));
    CHECK(key.bands.total().z < 0.7 * day.z);
}

TEST_CASE("the lit side is found while a flux is still unknown", "[read][defaults][worn]") {
    const std::string sides =
        light("left", "at = [-90, 5, 0]\naim = [0, 5, 0]\nguide_number = 40\nrated_with = \"tin\"") +
        light("right", "at = [90, 5, 0]\naim = [0, 5, 0]\nlumen_seconds = 100");
    const auto litAt = [&](const std::string& power) {
        const Scene scene = setOf(sides, {"light.left.power=" + power});
        return named(scene.probes, "lit-side").at_m.x;
    };
    CHECK(litAt("1/1") < 0.0F);
    CHECK(litAt("-13 stops") > 0.0F);  // 4 pi 4000 / 8192 = 6 lm*s
}
