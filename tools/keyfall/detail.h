// `render --detail FILE`: a part of the picture in the sensor's own pixels, with one exposure's noise.
// Not here: the noise (renderer/photograph/noise.h), figures of it (report_sensor.h).
#pragma once

#include <optional>

#include "renderer/stage/stage.h"
#include "report.h"

namespace keyfall {

/// The largest detail; a sensor with fewer pixels is shown whole.
inline constexpr glm::ivec2 kDetail_px{720, 480};

/// Upper left sensor pixel of a window of `size_px` around what is sharp: of the product's parts within
/// the depth of field the one nearest to the picture's middle; of a product that is soft throughout,
/// the least soft; without product the picture's middle.
glm::ivec2 sharpWindow_px(const Stage& stage, glm::ivec2 size_px);

/// The camera with only this window of its sensor: the shift moves it.
Camera windowOf(const Camera& camera, glm::ivec2 first_px, glm::ivec2 size_px);

/// Renders the window with as many samples a pixel as the picture had (fewer when `time_s` is up), smooths the
/// noise of the calculation, which would hide the sensor's, exposes it and writes `options.detail` as PNG. Fills report.detail. Requires report.picture.
/// Throws WriteError; the file is whole or absent.
void photographDetail(const Stage& stage, const LightTables& tables, const Options& options,
                      std::optional<double> time_s, Report& report);

}  // namespace keyfall
