// The report's part on colour: of each light, at each probe, between lights. Not here: how it is found
// (renderer/meter/light_colour.h).
#pragma once

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "report.h"

namespace keyfall {

/// Fills report.colours from the scene and its readings.
void readColours(Report& report);

/// The three forms; nothing where readColours was not called.
void putColour(nlohmann::ordered_json& json, const Report& report);
std::string colourLines(const Report& report);
std::vector<Warning> colourWarnings(const Report& report);

}  // namespace keyfall
