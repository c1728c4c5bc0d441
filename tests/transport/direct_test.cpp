// Direct light on open receptors: what no scene file can say (others are in tests/laws).
#include <catch2/catch.hpp>

#include <numbers>

#include "set.h"

using namespace keyfall;
using namespace keyfall::test;

TEST_CASE("luminous polygon: Lambert's edge sum, above and across the horizon", "[law][transport]") {
    // Lambert; Stark, UUCS-00-012 (2000): E/L .369965 for the triangle above the
    // horizon, .159479 for the one that crosses it. The triangle glows on both sides.
    struct Case {
        glm::vec3 v[3];
        glm::vec3 normal;
        double ePerL;
    };
    const Case cases[] = {
        {{{0.2F, -0.3F, 0.9F}, {1.1F, 0.1F, 0.7F}, {0.1F, 0.8F, 1.2F}}, {0.1F, 0.2F, 1.0F}, 0.369965},
        {{{0.6F, -0.3F, -0.5F}, {1.1F, 0.1F, 0.9F}, {0.5F, 0.8F, 0.6F}}, {0, 0, 1}, 0.159479}};
    for (const Case& c : cases) {
        Set set;
        Material glow;
        glow.reflectance = Bands(0.0F);
        glow.glow_cdm2 = Bands(1.0F);
        Mesh mesh;
        mesh.position_m.assign(std::begin(c.v), std::end(c.v));
        mesh.triangle = {{0, 1, 2}};
        set.item(mesh, set.material(glow));
        const Stage stage(set.scene);
        const Reading e = illuminance_lx(stage, set.probe(glm::vec3(0.0F), c.normal), 1U << 15U);
        INFO(e.mean() << " +- " << e.standardError() << ", exact " << c.ePerL);
        CHECK(std::abs(e.mean() - c.ePerL) < 4.0 * e.standardError() + 1e-6);
        CHECK(e.mean() == Approx(c.ePerL).epsilon(0.005));
    }
}

TEST_CASE("plane mirror: the image source adds, times the reflectance", "[law][transport]") {
    // Geometrical optics: a mirror of reflectance R adds the image source times R. Here I = 1 cd,
    // R = 0.9, the lamp 2 m in front of the receiver's plane and its image 4 m.
    Set set;
    Material mirror;
    mirror.base = Base::metal;
    mirror.reflectance = Bands(0.9F);
    mirror.roughness = 0.0F;
    set.item(sheet({0, 0, -1}, {0, 0, 1}, {4, 4}), set.material(mirror));
    // An isotropic lamp: sphere sources follow the inverse square exactly while all of them is above
    // the horizon, so it may be large enough to be found by way of the mirror. It stands aside so
    // that it does not hide its own image.
    const float aside_m = 1.2F;
    set.light(sphereLamp({aside_m, 0, 0}, 0.6F), 4.0 * std::numbers::pi);
    const Stage stage(set.scene);
    const Reading e = illuminance_lx(stage, set.probe({0, 0, 2}, {0, 0, -1}), 1U << 16U);
    const double a2 = static_cast<double>(aside_m) * static_cast<double>(aside_m);
    const double direct = 2.0 / std::pow(a2 + 4.0, 1.5);       // I cos / d^2, cos = 2/d
    const double image = 0.9 * 4.0 / std::pow(a2 + 16.0, 1.5);  // the image is 4 m behind
    INFO(e.mean() << " +- " << e.standardError() << ", exact " << direct + image);
    CHECK(e.mean() == Approx(direct + image).epsilon(0.005));
    CHECK(std::abs(e.mean() - direct - image) < 4.0 * e.standardError());
}
