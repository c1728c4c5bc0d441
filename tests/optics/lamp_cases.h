// Lamps and viewpoints that every lamp test runs over. Not here: the checks.
#pragma once

#include <glm/glm.hpp>
#include <string>
#include <vector>

#include "renderer/optics/lamp.h"

namespace keyfall::test {

/// A lamp in a tilted frame away from the origin, so that no axis hides an exchanged one.
LampShape tiltedLamp(LampKind kind, float a_m, float b_m, bool bothSides = false);

struct LampCase {
    std::string name;
    LampShape lamp;
    glm::vec3 point_m{0.0F};
    glm::vec3 normal{0.0F};
};

/// A point given in the lamp's own frame, in metres from its centre.
glm::vec3 besideLamp(const LampShape& lamp, glm::vec3 local_m);

/// Every shape from off its axes, near, and grazing; the first of each shape is the plain one.
const std::vector<LampCase>& lampCases();

}  // namespace keyfall::test
