// Names of the schema's tables, for schema.cpp alone. What a row means: schema.h.
#pragma once

#include <vector>

#include "scene/schema.h"

namespace keyfall::schema {

extern const std::vector<Key> top, camera, picture, table, backdrop, room, product, block, light,
    around, aim, reads, board, scrim, flag, probe, edge, variant, compare, limits, motion, video,
    lamp, fabric, modifier, grid, deflector, headBowl, gel, material;

}  // namespace keyfall::schema
