// What is sharp, as part of a report: depth of field against what is seen of the product, diffraction,
// focus stacks. Not here: the formulas (scene/photo.h, scene/focus_stack.h).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "scene/scene.h"

namespace keyfall {

struct Report;

nlohmann::ordered_json depthJson(const Report& report);
std::string sharpLines(const Report& report);
/// `product-not-in-frame`, `no-focus-stack`: figures that are null.
void warnOfSharpness(const Report& report, std::vector<Warning>& warnings);

}  // namespace keyfall
