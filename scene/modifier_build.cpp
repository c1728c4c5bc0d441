// A modifier's body from a catalogue's figures: the way to each shape's builder.
// Not here: the shapes (modifier_build_*.cpp).
#include "scene/modifier_build.h"

#include <utility>

#include "scene/modifier_build_parts.h"

namespace keyfall {

ModifierBody buildModifier(const ModifierModel& model, const LampShape& lamp,
                           const std::map<std::string, Material>& materials,
                           const std::map<std::string, Material>& fabrics) {
    modifiers::Builder builder{model, lamp, materials, fabrics};
    builder.body.name = model.name;
    switch (model.kind) {
        case ModifierKind::bowl:
        case ModifierKind::dish:
        case ModifierKind::snoot:
            modifiers::buildLathe(builder);
            break;
        case ModifierKind::box:
            modifiers::buildBox(builder);
            break;
        case ModifierKind::umbrella:
            modifiers::buildUmbrella(builder);
            break;
    }
    return std::move(builder.body);
}

}  // namespace keyfall
