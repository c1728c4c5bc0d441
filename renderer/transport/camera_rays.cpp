// The thin lens: derivation above the lines.
#include "renderer/transport/camera_rays.h"

namespace keyfall {

CameraRays::CameraRays(const Camera& camera, int width_px, int height_px)
    : camera_(camera),
      // 1/f = 1/s + 1/v  =>  v = f*s/(s-f)
      imageDistance_m_(camera.focalLength_m * camera.focusDistance_m /
                       (camera.focusDistance_m - camera.focalLength_m)),
      // f-number N = f / pupil diameter  =>  radius = f/(2N)
      pupilRadius_m_(static_cast<float>(camera.focalLength_m / (2.0 * camera.aperture.exact))),
      pixel_m_(static_cast<float>(camera.sensor_m.x / width_px),
               static_cast<float>(camera.sensor_m.y / height_px)),
      size_px_(width_px, height_px) {}

Ray CameraRays::at(glm::vec2 film_px, glm::vec2 lens) const {
    // The picture is the sensor seen upright; a shift moves what it sees to the right and up.
    const glm::vec2 onSensor_m{(film_px.x - 0.5F * size_px_.x) * pixel_m_.x + static_cast<float>(camera_.shift_m.x),
                               (0.5F * size_px_.y - film_px.y) * pixel_m_.y + static_cast<float>(camera_.shift_m.y)};
    // The ray through the lens centre is not bent; it meets the plane of focus at depth s, and all
    // rays of this film point meet it there.
    const float s = static_cast<float>(camera_.focusDistance_m);
    const float scale = s / static_cast<float>(imageDistance_m_);
    const glm::vec3 focus_m{onSensor_m.x * scale, onSensor_m.y * scale, s};
    const glm::vec3 pupil_m{lens.x * pupilRadius_m_, lens.y * pupilRadius_m_, 0.0F};
    return {camera_.lens_m + camera_.frame.toWorld(pupil_m),
            camera_.frame.toWorld(glm::normalize(focus_m - pupil_m))};
}

glm::vec2 CameraRays::project_px(glm::vec3 point_m) const {
    const glm::vec3 local = camera_.frame.toLocal(point_m - camera_.lens_m);
    const float v = static_cast<float>(imageDistance_m_);
    const glm::vec2 onSensor_m{local.x / local.z * v - static_cast<float>(camera_.shift_m.x),
                               local.y / local.z * v - static_cast<float>(camera_.shift_m.y)};
    return {onSensor_m.x / pixel_m_.x + 0.5F * size_px_.x,
            0.5F * size_px_.y - onSensor_m.y / pixel_m_.y};
}

}  // namespace keyfall
