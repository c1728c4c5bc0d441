// What glossy faces mirror, against image sources. Not here: how bright it is.
#include <catch2/catch.hpp>

#include "../transport/set.h"
#include "renderer/meter/mirrored.h"

using namespace keyfall;
using namespace keyfall::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

Material polished(float roughness = 0.0F) {
    Material m;
    m.name = "polished";
    m.base = Base::metal;
    m.reflectance = Bands(0.9F);
    m.roughness = roughness;
    return m;
}

/// A camera at the origin looks along -z at a mirror of 30 x 20 cm, a metre away, that faces it.
Set mirrorSet(const Material& material) {
    Set set;
    Camera& c = set.scene.camera;
    c.frame.x = {1, 0, 0};
    c.frame.y = {0, 1, 0};
    c.frame.z = {0, 0, -1};
    c.focusDistance_m = 1.0;
    set.item(sheet({0, 0, -1}, {0, 0, 1}, {0.3F, 0.2F}), set.material(material), ItemKind::product).name = "plate";
    return set;
}

struct Looks {
    VisiblePicture seen;
    MirrorPicture mirrored;
    explicit Looks(const Set& set) {
        const Stage stage(set.scene);
        seen = lookThroughLens(stage, 600, 400);
        mirrored = lookMirrored(stage, seen);
    }
    std::optional<double> of(const Set& set, const char* object, const char* area) const {
        return mirrors_percent(set.scene, seen, mirrored, object, area);
    }
};

}  // namespace

TEST_CASE("a flat mirror mirrors a panel's image of size a/(a + b)", "[law][mirrors]") {
    // Derived: the camera, a = 1 m before the mirror, sees the panel, b = 1.5 m before it, as if 2.5 m away;
    // the rays meet the mirror in the panel's size times a/(a + b), its middle likewise off the axis.
    const auto normal = GENERATE(-1.0F, 1.0F);
    Set set = mirrorSet(polished());
    set.light(panelLamp({0.1F, -0.05F, 0.5F}, {0, 0, normal}, 0.2F, 0.1F), 100.0).name = "key";
    set.scene.lights[0].on = false;  // off, it stands there all the same
    const Looks looks(set);
    // frameAround() may have turned the panel by a right angle: its area is what counts, and it fits.
    const double share = 100.0 * 0.2 * 0.1 * 0.4 * 0.4 / (0.3 * 0.2);
    const auto table = mirrorTable(looks.seen, looks.mirrored);
    REQUIRE(table.size() == 1);
    REQUIRE(table[0].mirrored.size() == 2);
    CHECK(table[0].mirrored[0].object == kNoObject);
    CHECK(table[0].mirrored[1].object == 0);
    CHECK_THAT(table[0].mirrored[1].share_percent, WithinRel(share, 0.02));
    CHECK_THAT(table[0].mirrored[0].share_percent, WithinRel(100.0 - share, 0.02));
    const bool facesMirror = normal < 0.0F;  // from behind it is a body without light
    CHECK_THAT(table[0].mirrored[1].luminous_percent, WithinRel(facesMirror ? share : 0.0, 0.02));
    CHECK_THAT(*looks.of(set, "key", "plate"), WithinRel(facesMirror ? share : 0.0, 0.02));
    CHECK_THAT(*looks.of(set, "key", "plate/polished"), WithinRel(facesMirror ? share : 0.0, 0.02));
    CHECK_FALSE(looks.of(set, "key", "plate/matt"));
    CHECK_FALSE(looks.of(set, "rim", "plate"));
    const auto gear = gearMirrored(set.scene, looks.seen, looks.mirrored);
    REQUIRE(gear.size() == 1);
    CHECK(gear[0].gear.object == 0);
}

TEST_CASE("a card counts from both sides; matt parts of an area mirror nothing", "[law][mirrors]") {
    Set set = mirrorSet(polished(0.3F));
    set.item(sheet({-0.08F, 0.1F, 0.5F}, {0, 0, 1}, {0.1F, 0.15F}), set.matt(0.9F), ItemKind::board).name = "fill";
    // The same product has a matt half, of the same size, below its glossy one.
    Item& plate = set.scene.items[0];
    const Mesh matt = sheet({0, -0.1F, -1}, {0, 0, 1}, {0.3F, 0.2F});
    const auto first = static_cast<std::uint32_t>(plate.mesh.position_m.size());
    plate.mesh = sheet({0, 0.1F, -1}, {0, 0, 1}, {0.3F, 0.2F});
    plate.mesh.slot.assign(plate.mesh.triangle.size(), 0);
    plate.mesh.position_m.insert(plate.mesh.position_m.end(), matt.position_m.begin(), matt.position_m.end());
    plate.mesh.normal.clear();
    plate.mesh.uv.clear();
    for (const auto& t : matt.triangle) {
        plate.mesh.triangle.push_back({t[0] + first, t[1] + first, t[2] + first});
        plate.mesh.slot.push_back(1);
    }
    plate.materials.push_back(set.matt(0.5F));
    set.scene.camera.focalLength_m = 0.05;  // all of both halves in the frame
    const Looks looks(set);
    const double share = 100.0 * 0.1 * 0.15 * 0.4 * 0.4 / (0.3 * 0.2);
    CHECK_THAT(*looks.of(set, "fill", "plate/polished"), WithinRel(share, 0.03));
    CHECK_THAT(*looks.of(set, "fill", "plate"), WithinRel(0.5 * share, 0.03));
    CHECK_FALSE(looks.of(set, "fill", "plate/matt"));
}

TEST_CASE("half of a mirror ball's disc mirrors what is behind it", "[law][mirrors]") {
    // Derived: on a ball seen from far away the look turns by 2 theta at sin theta from the middle of the disc;
    // beyond theta = 45 degrees, half of the area, it goes on away from the camera. The wall right behind the
    // ball takes all of that half (but for its shadow line). Corrections are of the order radius/distance, 1 %.
    Set set = mirrorSet(polished());
    set.scene.camera.focalLength_m = 0.6;
    set.scene.camera.focusDistance_m = 5.0;
    Mesh ball = sphereMesh(0.1F);
    for (auto& p : ball.position_m) p += glm::vec3(0, -0.05F, -5);
    set.scene.items[0].mesh = ball;
    set.item(sheet({0, 0, -5.1F}, {0, 0, 1}, {200, 200}), set.matt(0.9F), ItemKind::backdrop).name = "wall";
    const Looks looks(set);
    CHECK_THAT(*looks.of(set, "wall", "plate"), WithinAbs(50.0, 1.2));
}

TEST_CASE("glossy is what has a specular or narrow lobe", "[mirrors]") {
    CHECK(isGlossy(polished(0.0F)));
    CHECK(isGlossy(polished(0.4F)));
    CHECK_FALSE(isGlossy(polished(0.45F)));  // alpha 0.2025, a rough vertex (DEVELOPERS.md, "Who owns a path")
    CHECK_FALSE(isGlossy(Material{}));
    Material glass;
    glass.base = Base::glass;
    CHECK(isGlossy(glass));
}
