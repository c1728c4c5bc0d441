// Placement as pure geometry: directions, frames, standing meshes.
#include "scene/placement.h"

#include <cmath>

#include "scene/solids.h"

namespace keyfall {

namespace {

glm::vec3 toFloat(glm::dvec3 v) {
    return glm::vec3(v);
}

Frame rolled(const Frame& frame, double roll_rad, float handedness) {
    const float c = static_cast<float>(std::cos(roll_rad));
    const float s = handedness * static_cast<float>(std::sin(roll_rad));
    return {c * frame.x + s * frame.y, c * frame.y - s * frame.x, frame.z};
}

glm::dvec3 aboutX(glm::dvec3 v, double a) {
    return {v.x, std::cos(a) * v.y - std::sin(a) * v.z, std::sin(a) * v.y + std::cos(a) * v.z};
}
glm::dvec3 aboutY(glm::dvec3 v, double a) {
    return {std::cos(a) * v.x + std::sin(a) * v.z, v.y, std::cos(a) * v.z - std::sin(a) * v.x};
}
glm::dvec3 aboutZ(glm::dvec3 v, double a) {
    return {std::cos(a) * v.x - std::sin(a) * v.y, std::sin(a) * v.x + std::cos(a) * v.y, v.z};
}

}  // namespace

glm::vec3 placeAround(glm::vec3 point_m, double angle_rad, double elevation_rad,
                      double distance_m) {
    const glm::dvec3 direction(std::cos(elevation_rad) * std::sin(angle_rad),
                               std::sin(elevation_rad),
                               std::cos(elevation_rad) * std::cos(angle_rad));
    return toFloat(glm::dvec3(point_m) + distance_m * direction);
}

Frame frameFacing(glm::vec3 direction, double roll_rad) {
    constexpr float kVertical = 1e-5F;  // of a unit vector's level part; below it no level is seen
    const glm::vec3 level(direction.z, 0.0F, -direction.x);  // up x direction
    const float length = glm::length(level);
    const glm::vec3 x = length > kVertical ? level / length : glm::vec3(1, 0, 0);
    const glm::vec3 y = glm::normalize(glm::cross(direction, x));
    return rolled({x, y, direction}, roll_rad, 1.0F);
}

Frame cameraFrame(glm::vec3 viewingDirection, double roll_rad) {
    // A lamp's x points to its own left as seen along its aim (up x z); a picture's x to the right.
    // Straight down or up, right in the picture stays the world's +x.
    Frame frame = frameFacing(viewingDirection, 0.0);
    constexpr float kVertical = 1e-5F;
    const bool vertical =
        glm::length(glm::vec2(viewingDirection.x, viewingDirection.z)) <= kVertical;
    if (vertical)
        frame.y = -frame.y;
    else
        frame.x = -frame.x;
    return rolled(frame, roll_rad, -1.0F);
}

glm::vec3 mirrorNormal(glm::vec3 at_m, glm::vec3 from_m, glm::vec3 to_m) {
    const glm::vec3 sum = glm::normalize(from_m - at_m) + glm::normalize(to_m - at_m);
    const float length = glm::length(sum);
    return length > 1e-4F ? sum / length : glm::vec3(0.0F);
}

Frame turnedFrame(const Turns& t) {
    const auto turned = [&t](glm::dvec3 axis) {
        const glm::dvec3 leaned = aboutZ(axis, -t.lean_rad);
        return toFloat(aboutY(aboutX(leaned, t.tilt_rad), t.turn_rad));
    };
    return {turned({1, 0, 0}), turned({0, 1, 0}), turned({0, 0, 1})};
}

void stand(Mesh& mesh, const Turns& turns, Centre centre, glm::vec3 at_m) {
    if (turns.tilt_rad != 0.0 || turns.lean_rad != 0.0)
        place(mesh, turnedFrame({0.0, turns.tilt_rad, turns.lean_rad}), glm::vec3(0.0F));
    const Box3 box = boundsOf(mesh);
    glm::vec3 offset(0.0F, -box.low.y, 0.0F);
    if (centre == Centre::footprint) {
        offset.x = -box.middle().x;
        offset.z = -box.middle().z;
    }
    place(mesh, Frame{}, offset);
    place(mesh, turnedFrame({turns.turn_rad, 0.0, 0.0}), at_m);
}

void zUpToYUp(Mesh& mesh) {
    place(mesh, {{1, 0, 0}, {0, 0, -1}, {0, 1, 0}}, glm::vec3(0.0F));
}

}  // namespace keyfall
