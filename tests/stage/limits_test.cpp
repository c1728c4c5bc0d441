// What a Stage refuses, and that it lets go of what it had begun. Not here: rays (tests/transport).
#include <catch2/catch.hpp>

#include <unistd.h>

#include <fstream>

#include "renderer/stage/stage.h"
#include "scene/solids.h"

using namespace keyfall;
using Catch::Matchers::Contains;

namespace {

Scene sceneOf(std::size_t lights, std::size_t boards) {
    Scene scene;
    scene.materials.emplace_back();
    for (std::size_t l = 0; l < lights; ++l) {
        Light light;
        light.shape.a_m = 0.03F;
        light.shape.centre_m = {0.1F * static_cast<float>(l), 1.0F, 0.0F};
        scene.lights.push_back(light);
    }
    for (std::size_t b = 0; b < boards; ++b) {
        Item board;
        board.kind = ItemKind::board;
        board.mesh = boxMesh({0.1F, 0.1F, 0.1F});
        board.materials = {0};
        scene.items.push_back(board);
    }
    return scene;
}

/// A mesh of 24 MB.
Item largeItem() {
    Item item;
    item.mesh.position_m = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}};
    item.mesh.triangle.assign(2'000'000, {0, 1, 2});
    item.materials = {0};
    return item;
}

/// Memory of this process that is really there, in MB (proc(5), statm: pages).
long resident_MB() {
    long size = 0;
    long resident = 0;
    std::ifstream("/proc/self/statm") >> size >> resident;
    return resident * (sysconf(_SC_PAGESIZE) / 1024) / 1024;
}

}  // namespace

TEST_CASE("a stage holds 48 lights and 64 boards, and refuses one more", "[stage]") {
    // A path keeps 48 choice probabilities on its stack and a board's credit in a 64-bit word: one
    // more would write past the end, or credit the first board with the last one's light.
    const Scene most = sceneOf(48, 64);
    CHECK(Stage(most).emitters().size() == 48);
    CHECK(Stage(most).boardCount() == 64);
    const Scene lights = sceneOf(49, 0);
    CHECK_THROWS_AS(Stage(lights), std::invalid_argument);
    CHECK_THROWS_WITH(Stage(lights), Contains("49 lights") && Contains("at most 48"));
    const Scene boards = sceneOf(1, 65);
    CHECK_THROWS_AS(Stage(boards), std::invalid_argument);
    CHECK_THROWS_WITH(Stage(boards), Contains("65 boards") && Contains("at most 64"));
}

TEST_CASE("a stage that cannot be built keeps no memory", "[stage]") {
    // The second item names a material that is not there, when the first, of 24 MB, is already with
    // the kernel. Sanitizers hold freed memory back for a while: up to 256 MB.
    Scene scene = sceneOf(1, 0);
    scene.items = {largeItem(), largeItem()};
    scene.items[1].materials = {7};
    const long before_MB = resident_MB();
    for (int i = 0; i < 30; ++i) CHECK_THROWS_AS(Stage(scene), std::out_of_range);
    CHECK(resident_MB() - before_MB < 400);
}
