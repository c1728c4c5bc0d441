// Modifiers on the lights of a file: found by name, built around a lamp, put on the set as items.
// Not here: building them (modifier_build.h), [modifier.NAME] (library_modifiers.h).
#pragma once

#include <map>
#include <utility>

#include "scene/read_draft.h"

namespace keyfall {

using Body = std::shared_ptr<const ModifierBody>;

/// Modifiers built while the lights are read, each once for a lamp.
class BuiltModifiers {
  public:
    explicit BuiltModifiers(Draft& draft) : draft_(draft) {}

    /// The modifier that `key` of a light names, around its lamp; "none": a null pointer. Empty after
    /// a mistake: an unknown name, or a lamp that does not fit, which is reported at the key.
    std::optional<Body> around(const Fields& light, std::string_view key, const LampModel& lamp);

  private:
    Draft& draft_;
    std::map<std::pair<std::string, std::string>, Body> built_;  ///< by modifier and lamp
};

/// Where the light comes that the file puts at `at_m`, aimed: exit, lamp, axes and both distances.
void standLight(const Fields& fields, glm::vec3 at_m, const Aim& aim, Light& light);

/// Whether a point lies within the light's modifier: walls all about it, at its front or its back too.
bool isWithinModifier(const Draft& draft, std::size_t light, glm::vec3 at_m);

}  // namespace keyfall
