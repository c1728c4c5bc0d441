// Where a line that the scene gives crosses the shadow edges of the lights. Not here: lines that the program
// finds itself (shadow_find.h), light along them (shadow_profile.h).
#pragma once

#include <optional>
#include <vector>

#include "renderer/meter/shadow_place.h"

namespace keyfall {

/// A given line, laid onto the surface that it is on.
struct GroundLine {
    Ground ground;          ///< at its middle
    glm::vec3 along{0.0F};  ///< unit, on the surface there, from the line's `from` to its `to`
    float half_m = 0.0F;    ///< half of its length
};
/// Empty: no surface within a centimetre of the line's middle.
std::optional<GroundLine> layOnGround(const Stage& stage, const EdgeLine& line);

/// The edge of one light's shadow on the line; of several that nearest to its middle. `along` turned so that
/// it leads from shade to light. Empty: the middle of the light's front is nowhere hidden or nowhere free.
std::optional<EdgePlace> crossingOn(const Stage& stage, std::size_t light, const GroundLine& line);
/// The same of a front that is known.
std::optional<EdgePlace> crossingOn(const Stage& stage, std::size_t light, const LuminousFront& front,
                                    const GroundLine& line);

}  // namespace keyfall
