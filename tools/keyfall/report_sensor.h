// The sensor's part of the report: signal to noise at mid grey, range, where the raw ends, the detail.
// Not here: the arithmetic (scene/sensor_arithmetic.h), the detail itself (detail.h).
#pragma once

#include <glm/glm.hpp>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "scene/scene.h"

namespace keyfall {

struct Report;

/// What `render --detail` wrote.
struct DetailReport {
    glm::ivec2 first_px{0};    ///< of the sensor, from the top left corner of the picture
    glm::ivec2 size_px{0};
    int samples = 0;           ///< 0: stopped before its first pass, nothing was written
    double noise_stops = 0.0;  ///< of the calculation, what smoothing left of it (renderer/photograph/smooth.h)
};

nlohmann::ordered_json sensorJson(const Report& report);
nlohmann::ordered_json detailJson(const Report& report);  ///< requires report.detail
std::string sensorLines(const Report& report);
void warnOfSensor(const Report& report, std::vector<Warning>& warnings);

}  // namespace keyfall
