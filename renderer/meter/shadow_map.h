// The set as the middle of a light's front sees it: which object hides which place of table, backdrop or
// room. Not here: choosing among the shadows (shadow_find.h).
#pragma once

#include <vector>

#include "renderer/meter/shadow_place.h"

namespace keyfall {

/// Things that may throw a shadow worth a report, in the order of their rank: products, blocks, boards
/// and flags.
int casterRank(const Item& item);  ///< 0 first; -1: none

/// What a look from the front meets last: the surface that light or shadow falls on.
struct ShadowCell {
    std::uint32_t caster = kNoObject;    ///< the first object before that surface; kNoObject: lit
    std::uint32_t receiver = kNoObject;  ///< kNoObject: the look meets no table, backdrop or room
    glm::vec3 at_m{0.0F};
    glm::vec3 normal{0, 1, 0};  ///< on the side of the light
    float area_m2 = 0.0F;       ///< of the surface that the cell takes
    bool seen = false;          ///< by the camera; true without one
};

struct ShadowMap {
    static constexpr int kSide = 96;
    std::vector<ShadowCell> cell;  ///< kSide x kSide, rows
};

/// Looks through the frame that holds the item's box as the front's middle sees it, and a margin.
ShadowMap shadowMap(const Stage& stage, std::size_t light, const LuminousFront& front, const Item& item);

/// Whether the camera sees the place; true without a camera.
bool isSeen(const Stage& stage, glm::vec3 place_m, glm::vec3 normal);

}  // namespace keyfall
