// Flat faces that send a lamp's light without being a lamp: the exits of modifiers, and scrims.
// Not here: drawing points on them (optics/face_draw.h), what light they send (transport/face_light.h).
#pragma once

#include <cmath>
#include <cstdint>
#include <glm/glm.hpp>

#include "scene/near_field_table.h"
#include "scene/scene.h"

namespace keyfall {

inline constexpr std::uint32_t kNoEmitter = 0xffffffffU;
inline constexpr int kNoScrim = -1;

/// Where light scattered in a modifier leaves it, placed on the set. Nothing is there for a ray to
/// hit: a ray crosses it.
struct Exit {
    LampShape shape;  ///< in the world; z is where the light goes
    const TableFace* table = nullptr;
    std::uint32_t light = 0;
    int candidates = 1;  ///< drawn points of which one is taken

    /// Luminance per unit flux in the direction `toLight` (from the set to `point_m` on the face).
    Bands luminance_perSrM2(glm::vec3 point_m, glm::vec3 toLight) const {
        const glm::vec3 local = shape.frame.toLocal(point_m - shape.centre_m);
        return keyfall::luminance_perSrM2(*table, {local.x, local.y}, -shape.frame.toLocal(toLight));
    }
    /// Distance at which a ray from the set crosses the open face inward; negative where it does not.
    float crossing_m(glm::vec3 origin_m, glm::vec3 direction) const {
        const float along = glm::dot(direction, shape.frame.z);
        if (along >= 0.0F) return -1.0F;
        const float t = glm::dot(shape.centre_m - origin_m, shape.frame.z) / along;
        if (t <= 0.0F) return -1.0F;
        const glm::vec3 local = shape.frame.toLocal(origin_m + t * direction - shape.centre_m);
        return isOpen(table->exit, {local.x, local.y}) ? t : -1.0F;
    }
};

/// The rectangle of a board, flag or scrim as a luminous face of both sides: how lamps are drawn from, so is it.
inline LampShape faceOf(const Item& item) {
    return {LampKind::panel, item.at_m, item.frame, item.size_m.x, item.size_m.y, true};
}

/// A scrim in free air: the light that lamps throw on it straight, it sends on from both faces.
struct Scrim {
    /// Whether it stands between two points.
    bool isBetween(glm::vec3 a_m, glm::vec3 b_m) const {
        const glm::vec3 a = shape.frame.toLocal(a_m - shape.centre_m);
        const glm::vec3 b = shape.frame.toLocal(b_m - shape.centre_m);
        if (a.z * b.z >= 0.0F) return false;
        const glm::vec3 at = a + (b - a) * (a.z / (a.z - b.z));
        return 2.0F * std::abs(at.x) < shape.a_m && 2.0F * std::abs(at.y) < shape.b_m;
    }

    std::uint32_t item = 0;  ///< into Scene::items
    LampShape shape;         ///< a panel that shines from both sides
    const Material* fabric = nullptr;
    float straight = 0.0F;   ///< of light that meets it: what of a lamp is seen through it, never 0
};

/// What a choice among lights needs to know of one.
struct LightSource {
    glm::vec3 centre_m{0.0F};
    float boundingRadius_m = 0.0F;
    float share = 1.0F;  ///< of the lamp's flux that comes from here, roughly; never 0
    std::uint32_t light = 0;
    glm::vec3 axis{0.0F};     ///< a flat face's normal; 0: sends light to all sides alike
    bool bothSides = false;
    bool onlyInside = false;  ///< a lamp that is seen from within its modifier alone
};

}  // namespace keyfall
