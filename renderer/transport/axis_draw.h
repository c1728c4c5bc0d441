// Directions near the axis of a modifier, drawn beside those of the surfaces. Internal to the light trace.
// Not here: how both are weighted (light_trace.cpp).
#pragma once

#include <algorithm>
#include <cmath>
#include <glm/glm.hpp>
#include <numbers>

#include "renderer/optics/warp_trig.h"

namespace keyfall {

/// A receiver far out on the axis sees only the cells of the directions around it: a few in a thousand of
/// what leaves. So the sine rho of the angle to +z is drawn evenly over [0, kReach): density
/// 1 / (2 pi kReach rho) on the Nusselt disc, times the cosine per steradian.
class AxisDraw {
  public:
    static glm::vec3 sample(glm::vec2 u) {
        const float rho = kReach * std::max(u.x, kLeast);
        const glm::vec2 turn = cosSinTurns(u.y);
        return {rho * turn.x, rho * turn.y, std::sqrt(1.0F - rho * rho)};
    }
    static float pdf_perSr(glm::vec3 direction) {
        const float rho = std::max(std::hypot(direction.x, direction.y), kReach * kLeast);
        if (direction.z <= 0.0F || rho >= kReach) return 0.0F;
        return direction.z / (2.0F * std::numbers::pi_v<float> * kReach * rho);
    }

  private:
    static constexpr float kReach = 0.65F;  ///< 40 degrees, where products are lit
    static constexpr float kLeast = 1e-6F;
};

}  // namespace keyfall
