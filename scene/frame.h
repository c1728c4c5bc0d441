// An orthonormal frame. Not here: how an `aim` becomes one (placement.h).
#pragma once

#include <cmath>
#include <glm/glm.hpp>

namespace keyfall {

/// Right-handed orthonormal axes in world space. `z` is where an object faces (a lamp's aim, a
/// card's lit side, a surface normal); at roll 0 `x` is its width, level, and `y` its height.
struct Frame {
    glm::vec3 x{1, 0, 0};
    glm::vec3 y{0, 1, 0};
    glm::vec3 z{0, 0, 1};

    glm::vec3 toLocal(glm::vec3 w) const { return {glm::dot(w, x), glm::dot(w, y), glm::dot(w, z)}; }
    glm::vec3 toWorld(glm::vec3 l) const { return l.x * x + l.y * y + l.z * z; }
};

/// A frame around the unit vector `normal`; the turn about it is arbitrary but continuous almost
/// everywhere. Source: Duff et al., "Building an Orthonormal Basis, Revisited", JCGT 6(1), 2017.
inline Frame frameAround(glm::vec3 normal) {
    const float sign = std::copysign(1.0F, normal.z);
    const float a = -1.0F / (sign + normal.z);
    const float b = normal.x * normal.y * a;
    return {{1.0F + sign * normal.x * normal.x * a, sign * b, -sign * normal.x},
            {b, sign + normal.y * normal.y * a, -normal.y},
            normal};
}

}  // namespace keyfall
