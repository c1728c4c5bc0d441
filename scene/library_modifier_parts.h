// What a modifier has beside its shape, from its table: grid, doors, plate, a box's own keys.
// Only for library_modifiers.cpp.
#pragma once

#include <array>
#include <optional>

#include "scene/library_table.h"
#include "scene/modifier.h"

namespace keyfall {

/// A length above 0, which must be there. Throws DefinitionError, as all of these.
double lengthOf_m(const DefinitionTable& t, const char* key);

/// Empty when the key is missing.
std::optional<GridModel> gridOf(const DefinitionTable& t, const ModifierModel& model);
std::optional<DeflectorModel> deflectorOf(const DefinitionTable& t);
std::optional<HeadBowlModel> headBowlOf(const DefinitionTable& t);
std::optional<std::array<double, 4>> barnDoorsOf(const DefinitionTable& t);
void readBox(const DefinitionTable& t, ModifierModel& model);

}  // namespace keyfall
