// The report's parts on time: shake, moving subjects, video. Not here: the arithmetic (scene/motion.h).
#pragma once

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "report.h"

namespace keyfall {

/// Parts "motion" and, of a scene with [video], "video"; nothing without a camera.
void putMotion(nlohmann::ordered_json& json, const Report& report);
std::string motionLines(const Report& report);
std::vector<Warning> motionWarnings(const Report& report);

}  // namespace keyfall
