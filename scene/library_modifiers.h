// One [modifier.NAME] table as plain data; the same for the shipped library and for a scene file.
// Not here: its surfaces (modifier_build.h), which keys a scene file may say (schema.h).
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "scene/library_definitions.h"
#include "scene/modifier.h"

namespace keyfall {

/// From centimetres and degrees to metres and radians. What is not given gets its default, which
/// depends on the shape. Keys without a meaning for the shape are not looked at (keysOfShape);
/// names are not looked up. Throws DefinitionError.
ModifierModel modifierFrom(const std::string& name, const Value& table);

/// "bowl", "box", "dish", "snoot", "umbrella".
const char* nameOf(ModifierKind kind);

/// The keys that mean something for a shape, beside shape, caption and source.
std::span<const std::string_view> keysOfShape(ModifierKind kind);

}  // namespace keyfall
