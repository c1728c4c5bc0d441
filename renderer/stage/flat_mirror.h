// Flat mirrors of the set: each lamp is seen again in each of them, behind its plane.
// Not here: how paths use the images (renderer/transport).
#pragma once

#include <cstdint>
#include <glm/glm.hpp>
#include <vector>

#include "renderer/optics/lamp.h"
#include "scene/scene.h"

namespace keyfall {

/// A board with a perfectly smooth metal surface; it reflects on both faces.
struct FlatMirror {
    std::uint32_t item = 0;        ///< index into Scene::items
    glm::vec3 point_m{0.0F};       ///< on its plane
    glm::vec3 normal{0, 0, 1};     ///< unit
    std::vector<LampShape> image;  ///< of each light, in the order of Scene::lights

    /// The image of a point in the plane, and of a direction.
    glm::vec3 mirroredPoint(glm::vec3 p) const {
        return p - 2.0F * glm::dot(p - point_m, normal) * normal;
    }
    glm::vec3 mirroredDirection(glm::vec3 d) const { return d - 2.0F * glm::dot(d, normal) * normal; }
};

/// A mirror turns a right hand into a left one; lamps are alike both ways, so the image keeps a
/// right-handed frame.
inline LampShape imageOf(const LampShape& lamp, const FlatMirror& mirror) {
    LampShape image = lamp;
    image.centre_m = mirror.mirroredPoint(lamp.centre_m);
    image.frame.x = mirror.mirroredDirection(lamp.frame.x);
    image.frame.z = mirror.mirroredDirection(lamp.frame.z);
    image.frame.y = glm::cross(image.frame.z, image.frame.x);
    return image;
}

}  // namespace keyfall
