// Shadow edges as a part of a report: lines for people, JSON for programs. Not here: how they are measured
// (renderer/meter/shadow_edge.h).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "renderer/meter/shadow_edge.h"

namespace keyfall {

struct Report;

/// By 10-90 % width over throw: under 0.05 hard, to 0.2 medium, to 0.5 soft, above very soft. Common
/// practice has the words and no borders: these are our own.
const char* wordOf(const ShadowEdge& edge);

std::string edgeLines(const Report& report);
nlohmann::ordered_json edgesJson(const Report& report);

}  // namespace keyfall
