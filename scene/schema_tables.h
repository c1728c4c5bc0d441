// Names of the schema's tables, for schema.cpp alone, and the ranges they share. What a row means: schema.h.
#pragma once

#include <vector>

#include "scene/schema.h"

namespace keyfall::schema {

inline constexpr Range kPlace = between(-kFarthest_cm, kFarthest_cm);
inline constexpr Range kSize{0.0, kFarthest_cm, false};
inline constexpr Range kShare = between(0.0, 1.0);
inline constexpr Range kKelvin = between(1000.0, 25000.0);  // the Planckian and the CIE daylight locus

extern const std::vector<Key> top, camera, picture, table, backdrop, room, product, block, light,
    around, aim, reads, board, scrim, flag, probe, edge, variant, compare, limits, motion, video,
    lamp, fabric, modifier, grid, deflector, headBowl, gel, material;

}  // namespace keyfall::schema
