// What has to be said of a shadow edge beside its figures. Not here: edges that are none (shadow_lines.h).
#pragma once

#include "renderer/meter/shadow_lines.h"
#include "renderer/meter/shadow_profile.h"

namespace keyfall {

void warnOfEdge(const Stage& stage, const ShadowEdge& edge, const LineToMeter& line, const EdgeFigures& figures,
                std::vector<EdgeWarning>& warnings);

}  // namespace keyfall
