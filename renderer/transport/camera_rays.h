// Rays of a thin lens. Not here: what the film does with them (render.h).
#pragma once

#include <glm/glm.hpp>

#include "scene/scene.h"

namespace keyfall {

struct Ray {
    glm::vec3 origin_m{0.0F};
    glm::vec3 direction{0, 0, 1};  ///< unit
};

/// A thin lens of focal length f and diameter f/N with the sensor at v = f*s/(s-f) behind it, so
/// framing changes with focus. The film holds luminance averaged over the pupil: no cos^4.
class CameraRays {
  public:
    CameraRays(const Camera& camera, int width_px, int height_px);

    /// `film_px`: picture coordinates, x right, y DOWN from the top left corner. `lens`: a point of
    /// the unit disk; (0,0) is the lens centre (the pinhole ray).
    Ray at(glm::vec2 film_px, glm::vec2 lens) const;

    /// Where the pinhole ray of a world point meets the picture, px. Not checked: behind the lens.
    glm::vec2 project_px(glm::vec3 point_m) const;

    double imageDistance_m() const { return imageDistance_m_; }

  private:
    Camera camera_;
    double imageDistance_m_;
    float pupilRadius_m_;
    glm::vec2 pixel_m_;  ///< size of a pixel on the sensor
    glm::vec2 size_px_;
};

}  // namespace keyfall
