// Lights in modifiers: the near-field table and the real inside, traced, are one and the same light.
#include "dressed.h"

namespace keyfall::test {

TEST_CASE("a set reads the same by the table of a bowl as by tracing its real inside", "[modifier][long]") {
    Dressed d;
    d.wear(bowl(), sphereLamp({}, 0.03F), {0.0F, 0.5F, 0.0F}, {0.2F, -1.0F, 0.1F});
    d.bakeLast();
    addSurroundings(d);
    checkOne(d, d.set.probe({0.1F, 0.01F, 0.05F}, {0, 1, 0}));
    checkOne(d, d.set.probe({-0.2F, 0.1F, 0.2F}, {0.5F, 0.5F, 0.0F}));
}

TEST_CASE("a set reads the same by the table of a box as by tracing its real inside", "[modifier][long]") {
    for (const auto& [front, baffle] : {std::pair<std::string, std::string>{"full", ""}, {"full", "half"}, {"leaky", ""}, {"", ""}}) {
        INFO("front " << front << " baffle " << baffle);
        Dressed d;
        d.wear(box(front, baffle), sphereLamp({}, 0.03F), {0.0F, 0.5F, 0.0F}, {0.2F, -1.0F, 0.1F});
        d.bakeLast();
        addSurroundings(d);
        checkOne(d, d.set.probe({0.1F, 0.01F, 0.05F}, {0, 1, 0}), 2048, baffle.empty() ? 8192 : 32768);
    }
}

TEST_CASE("a set between the faces of an umbrella's table reads as it does by tracing", "[modifier][long]") {
    Dressed d;
    ModifierModel m;
    m.kind = ModifierKind::umbrella;
    m.name = "umbrella";
    m.inside = "full";
    m.through = GENERATE(true, false);
    m.profile_m = {{0.0, 0.0}, {0.1, 0.01}, {0.2, 0.045}, {0.3, 0.11}};
    m.lampAt_m = 0.25;
    d.wear(m, sphereLamp({}, 0.03F), {0.0F, 0.6F, 0.0F}, {0.2F, -1.0F, 0.1F});
    // Six faces share the photons: a table of the usual size scatters by 0.04 stop here (three seeds), one
    // of four times as many by 0.02, about 0. The bound is for that scatter, not for a bias.
    BakeSettings settings;
    settings.photons = 1U << 20U;
    d.bakeLast(settings);
    addSurroundings(d);
    checkOne(d, d.set.probe({0.1F, 0.01F, 0.05F}, {0, 1, 0}), 2048, 16384, 0.06);
    // Near the canopy's side, within the reach of several faces.
    checkOne(d, d.set.probe({0.45F, 0.55F, 0.1F}, {-1, 0, 0}), 2048, 16384, 0.06);
}

TEST_CASE("what is seen of a modifier is its real inside, from the lens and in a glaze", "[modifier][long]") {
    Dressed d;
    d.wear(box("full"), sphereLamp({}, 0.03F), {0.0F, 0.5F, 0.0F}, {0.0F, -1.0F, 0.0F});
    d.bakeLast();
    SECTION("the front itself, off its middle") {
        const Agreement a = agreement(d, spotAt(d, {0.3F, -0.5F, 0.0F}, {0.12F, 0.5F, 0.05F}), 16384, 16384);
        INFO(a.stops << " +- " << a.sigma_stops);
        CHECK(a.sigma_stops < 0.01);
        CHECK(std::abs(a.stops) < 4.0 * a.sigma_stops);  // no table is looked at: no room for its errors
    }
    SECTION("the front in a glaze over a dark body, and the body by the table") {
        Material glaze;
        glaze.base = Base::plastic;
        glaze.reflectance = Bands(0.2F);
        glaze.roughness = 0.3F;  // alpha 0.09: no rough vertex, but its body is
        d.set.item(sheet({0.0F, 0.0F, 0.0F}, {0, 1, 0}, {0.6F, 0.6F}), d.set.material(glaze));
        const Probe spot = spotAt(d, {0.5F, 0.55F, 0.0F}, {0.02F, 0.0F, 0.0F});
        const Agreement a = agreement(d, spot, 32768, 65536);
        INFO(a.stops << " +- " << a.sigma_stops);
        CHECK(a.sigma_stops < 0.015);
        CHECK(std::abs(a.stops) < kBound_stops);
    }
}

TEST_CASE("a bowl that another lamp lights reflects the same with its own lamp's table on", "[modifier][long]") {
    Dressed d;
    d.wear(bowl(), sphereLamp({}, 0.03F), {0.0F, 0.5F, 0.0F}, {0.0F, -1.0F, 0.0F});
    d.bakeLast();
    // The other lamp shines into the bowl from below; the probe is turned away from it, to the bowl.
    d.set.light(panelLamp({0.05F, 0.3F, 0.0F}, {0, 1, 0}, 0.04F, 0.04F), 1.0);
    d.set.scene.lights.front().on = false;
    d.tables.resize(2);
    checkOne(d, d.set.probe({-0.1F, 0.38F, 0.0F}, {0.3F, 1, 0}), 65536, 65536);
}

TEST_CASE("layers of a lamp in a box and of a bare one do not leak into each other", "[modifier][long]") {
    Dressed d;
    d.wear(box("full"), sphereLamp({}, 0.03F), {0.0F, 0.5F, 0.0F}, {0.0F, -1.0F, 0.0F});
    d.bakeLast();
    d.set.light(sphereLamp({-0.3F, 0.3F, 0.1F}, 0.03F), 1.0);
    d.tables.resize(2);
    addSurroundings(d);
    for (const std::size_t off : {0U, 1U}) {
        INFO("light " << off << " off");
        d.set.scene.lights[off].on = false;
        d.set.scene.lights[1 - off].on = true;
        checkOne(d, d.set.probe({0.1F, 0.01F, 0.05F}, {0, 1, 0}), 4096, 16384);
    }
}

}  // namespace keyfall::test
