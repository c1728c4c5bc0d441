// From a catalogue's figures to surfaces: a modifier built around a lamp.
// Not here: reading [modifier.NAME] (library_modifiers.h), light.
#pragma once

#include <map>
#include <stdexcept>
#include <string>

#include "scene/modifier_body.h"

namespace keyfall {

/// The lamp and the modifier do not go together: what was found; what is allowed.
struct ModifierMisfit : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Builds `model` around `lamp` (its place and frame are not looked at). Facets are flat: photons and
/// paths then agree without a correction. Opaque shells have an inside of their own and a black
/// outside. A lamp whose body would touch the back is moved forward until it is clear of it.
/// Names are looked up in `materials` and `fabrics`; not checked: that they are there (std::out_of_range).
/// Throws ModifierMisfit for a lamp that does not fit, or one that stands out of the mouth.
ModifierBody buildModifier(const ModifierModel& model, const LampShape& lamp,
                           const std::map<std::string, Material>& materials,
                           const std::map<std::string, Material>& fabrics);

}  // namespace keyfall
