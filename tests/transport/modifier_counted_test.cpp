// Light out of a modifier that is counted once whatever stands before it: panes, shut doors.
// Not here: the sets without them (modifier_test.cpp).
#include "dressed.h"

namespace keyfall::test {

TEST_CASE("below a thin pane a box's table and its real inside are not counted both", "[modifier][long]") {
    // From so near that paths find the front as surely as its sampling does: +0.7 stop when they did.
    Dressed d;
    d.wear(box("full"), sphereLamp({}, 0.03F), {0.0F, 0.3F, 0.0F}, {0.0F, -1.0F, 0.0F});
    d.bakeLast();
    Material pane;
    pane.base = Base::glass;
    pane.thin = true;
    d.set.item(sheet({0.0F, 0.2F, 0.0F}, {0, 1, 0}, {1.0F, 1.0F}), d.set.material(pane));
    checkOne(d, d.set.probe({0.0F, 0.15F, 0.0F}, {0, 1, 0}), 2048, 8192);
    SECTION("nor on a card") {
        d.set.item(sheet({0.0F, 0.1F, 0.0F}, {0, 1, 0}, {1.0F, 1.0F}), d.set.matt(0.8F));
        checkOne(d, spotAt(d, {0.4F, 0.15F, 0.0F}, {0.02F, 0.1F, 0.0F}), 2048, 16384);
    }
}

TEST_CASE("shut doors half a millimetre before an exit let no light by, from afar either", "[modifier]") {
    Dressed d;
    ModifierModel m = bowl();
    m.barnDoors_rad = std::array<double, 4>{};
    d.wear(m, sphereLamp({}, 0.03F), {0.0F, 0.0F, 0.0F}, {0.0F, -1.0F, 0.0F});
    BakeSettings few;  // how much is behind the doors does not matter
    few.photons = 1U << 12U;
    few.directions = 8;
    d.bakeLast(few);
    const Stage stage(d.set.scene, 2, d.tables);
    for (const float distance_m : {1.0F, 10.0F, 100.0F}) {
        INFO(distance_m << " m");
        CHECK(illuminance_lx(stage, d.set.probe({0.0F, -distance_m, 0.0F}, {0, 1, 0}), 256).mean() == 0.0);
    }
}

}  // namespace keyfall::test
