// Placement by hand: the contract's words on angles, turns, rolls and mirrors, as numbers.
#include "scene/placement.h"

#include <glm/gtc/constants.hpp>

#include "scene/solids.h"
#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {
constexpr double kRight = glm::half_pi<double>();
}

TEST_CASE("around: 0 is the front, 90 the right, 180 behind, -90 the left", "[placement]") {
    const glm::vec3 point(0, 0.08F, 0);
    checkCm(placeAround(point, 0.0, 0.0, 0.8), {0, 8, 80});
    checkCm(placeAround(point, kRight, 0.0, 0.8), {80, 8, 0});
    checkCm(placeAround(point, 2 * kRight, 0.0, 0.8), {0, 8, -80});
    checkCm(placeAround(point, -kRight, 0.0, 0.8), {-80, 8, 0});
}

TEST_CASE("around: elevation lifts by the sine and keeps the distance", "[placement]") {
    // sin 30 = 1/2, cos 30 = 0.8660254.
    checkCm(placeAround({0, 0.08F, 0}, kRight, glm::radians(30.0), 0.8), {69.28203, 48, 0});
    checkCm(placeAround({0, 0.08F, 0}, 0.0, glm::radians(-30.0), 0.8), {0, -32, 69.28203});
}

TEST_CASE("a card that faces the front is level and upright", "[placement]") {
    const Frame f = frameFacing({0, 0, 1}, 0.0);
    checkDirection(f.x, {1, 0, 0});
    checkDirection(f.y, {0, 1, 0});
}

TEST_CASE("a card's width stays level whatever it faces, and its axes are right-handed",
          "[placement]") {
    for (const glm::vec3 way :
         {glm::vec3(1, 2, 3), glm::vec3(-4, 1, 0.5F), glm::vec3(0, -3, 0.1F)}) {
        const Frame f = frameFacing(glm::normalize(way), 0.0);
        CHECK(f.x.y == Approx(0.0).margin(1e-6));
        CHECK(f.y.y > 0.0F);
        checkDirection(glm::cross(f.x, f.y), f.z);
    }
}

TEST_CASE("straight up or down, level is along x", "[placement]") {
    checkDirection(frameFacing({0, 1, 0}, 0.0).x, {1, 0, 0});
    checkDirection(frameFacing({0, -1, 0}, 0.0).x, {1, 0, 0});
}

TEST_CASE("roll turns clockwise as seen from behind", "[placement]") {
    // Behind a card that faces +z one looks along +z: right is then -x, so "up" goes to -x.
    const Frame f = frameFacing({0, 0, 1}, kRight);
    checkDirection(f.y, {-1, 0, 0});
    // Behind a camera that looks along -z right is +x.
    checkDirection(cameraFrame({0, 0, -1}, kRight).y, {1, 0, 0});
}

TEST_CASE("the camera's axes are the picture's: right and up", "[placement]") {
    const Frame front = cameraFrame({0, 0, -1}, 0.0);
    checkDirection(front.x, {1, 0, 0});
    checkDirection(front.y, {0, 1, 0});
    const Frame behind = cameraFrame({0, 0, 1}, 0.0);
    checkDirection(behind.x, {-1, 0, 0});
    // From above, as a flat-lay: right stays right, the far side of the table is up.
    const Frame above = cameraFrame({0, -1, 0}, 0.0);
    checkDirection(above.x, {1, 0, 0});
    checkDirection(above.y, {0, 0, -1});
}

TEST_CASE("turn takes the front to +x, tilt and lean the top to +z and +x", "[placement]") {
    checkDirection(turnedFrame({kRight, 0, 0}).z, {1, 0, 0});
    checkDirection(turnedFrame({0, kRight, 0}).y, {0, 0, 1});
    checkDirection(turnedFrame({0, 0, kRight}).y, {1, 0, 0});
}

TEST_CASE("lean comes first, then tilt, then turn", "[placement]") {
    // Lean: top to +x. Turn by 90 takes +x to -z. The other way round the top would end at +x.
    checkDirection(turnedFrame({kRight, 0, kRight}).y, {0, 0, -1});
    // Lean: top to +x, which tilt leaves alone; the other way round it would end at +z.
    checkDirection(turnedFrame({0, kRight, kRight}).y, {1, 0, 0});
}

TEST_CASE("a mesh stands on its lowest point, by the middle of its footprint or its own origin",
          "[placement]") {
    Mesh box = boxMesh({0.1F, 0.2F, 0.3F});
    place(box, Frame{}, {1, 5, 2});
    Mesh byOrigin = box;
    stand(box, {}, Centre::footprint, {0.5F, 0.04F, 0});
    checkCm(boundsOf(box).low, {45, 4, -15});
    checkCm(boundsOf(box).high, {55, 24, 15});
    stand(byOrigin, {}, Centre::origin, {0, 0, 0});
    checkCm(boundsOf(byOrigin).low, {95, 0, 185});
}

TEST_CASE("a turned product spins on the spot; a tilted one still stands on its lowest edge",
          "[placement]") {
    Mesh turned = boxMesh({0.1F, 0.2F, 0.3F});
    stand(turned, {kRight, 0, 0}, Centre::footprint, {0, 0, 0});
    checkCm(boundsOf(turned).size(), {30, 20, 10});
    Mesh tilted = boxMesh({0.1F, 0.2F, 0.2F});
    stand(tilted, {0, kRight / 2, 0}, Centre::footprint, {0, 0, 0});
    checkCm(boundsOf(tilted).low, {-5, 0, -14.14214});  // 20 * sqrt(2) / 2
    checkCm(boundsOf(tilted).high, {5, 28.28427, 14.14214});
}

TEST_CASE("up = z maps (x, y, z) to (x, z, -y)", "[placement]") {
    Mesh mesh;
    mesh.position_m = {{1, 2, 3}};
    zUpToYUp(mesh);
    checkDirection(mesh.position_m[0], {1, 3, -2});
}

TEST_CASE("a mirror halves the angle: the law of reflection", "[placement]") {
    const glm::vec3 at(0.2F, 0.1F, -0.3F), from(1, 2, 0.5F), to(-0.5F, 0, 1);
    const glm::vec3 normal = mirrorNormal(at, from, to);
    const glm::vec3 out = glm::reflect(glm::normalize(at - from), normal);
    checkDirection(out, glm::normalize(to - at));
    CHECK(mirrorNormal({0, 0, 0}, {1, 0, 0}, {-1, 0, 0}) == glm::vec3(0.0F));
}
