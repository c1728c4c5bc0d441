// The lines across shadow edges that are metered: those that the scene gives, or where each light's main cast
// shadow is found, on this form of the set or on another. Not here: light along them (shadow_profile.h).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "renderer/meter/shadow_edge.h"
#include "renderer/meter/shadow_place.h"

namespace keyfall {

/// A line that waits to be metered.
struct LineToMeter {
    std::string name;
    EdgePlace place;
    FoundLine found{};                 ///< empty of a given line
    float from_m = 0.0F, to_m = 0.0F;  ///< of it that the scene asks for, along the place's line
    std::vector<glm::vec2> beside{};   ///< penumbrae of other lights, along the place's line
    std::optional<FoundLine> movedFrom{};  ///< the first form's, which crosses no whole edge here
};

/// `first`: of another form of the set, empty for none. Warns of given lines without an edge, and of lights that
/// are on and have none.
std::vector<LineToMeter> linesToMeter(const Stage& stage, const std::vector<FoundLine>& first,
                                      std::vector<EdgeWarning>& warnings);

}  // namespace keyfall
