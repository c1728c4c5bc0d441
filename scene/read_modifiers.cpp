// [modifier.NAME] of the file, over the shipped library's. Not here: what a definition means
// (library_modifiers.h), putting a modifier on a lamp.
#include <fmt/format.h>

#include <algorithm>

#include "scene/library_modifiers.h"
#include "scene/read_draft.h"

namespace keyfall {

namespace {

std::optional<ModifierKind> kindOf(const Fields& fields) {
    for (const ModifierKind kind : {ModifierKind::bowl, ModifierKind::box, ModifierKind::dish,
                                    ModifierKind::snoot, ModifierKind::umbrella})
        if (fields.sound("shape") && fields.text("shape") == nameOf(kind)) return kind;
    return {};
}

/// A key of another shape is a mistake, not a silent nothing.
bool refuseKeysOfOtherShapes(const Fields& fields, ModifierKind kind) {
    bool sound = true;
    const auto known = keysOfShape(kind);
    for (const Key& key : keysOf("modifier")) {
        const std::string_view name = key.name;
        const bool common = name == "shape" || name == "caption" || name == "source";
        if (common || !fields.given(name)) continue;
        if (std::find(known.begin(), known.end(), name) != known.end()) continue;
        sound = false;
        fields.error(
            name, {fmt::format("has no meaning for shape = \"{}\"", nameOf(kind)),
                   fmt::format("{} knows {}", nameOf(kind), joined({known.begin(), known.end()})),
                   {}});
    }
    return sound;
}

/// What light meets inside must stop it: glass and thin sheets would let it out of the shell.
bool isOpaque(Draft& draft, const Spot& spot, const std::string& name) {
    const auto at = draft.library.materials.find(name);
    if (at == draft.library.materials.end()) {
        useMaterial(draft, spot, name);  // tells what is wrong with the name
        return false;
    }
    const Base base = at->second.base;
    if (base != Base::glass && base != Base::sheet) return true;
    draft.messages().error(spot.place,
                           {fmt::format("{}: \"{}\" lets light through", spot.label, name),
                            "allowed: a diffuse, plastic or metal material",
                            {}});
    return false;
}

bool isFabric(Draft& draft, const Spot& spot, const std::string& name) {
    if (name.empty() || draft.library.fabrics.contains(name)) return true;
    useFabric(draft, spot, name);
    return false;
}

/// Reports every name that is missing or unfit; without one the modifier can be built.
bool namesAreSound(Draft& draft, const Fields& fields, const ModifierModel& m) {
    const bool canopyOfFabric = m.kind == ModifierKind::umbrella &&
                                !draft.library.materials.contains(m.inside) &&
                                draft.library.fabrics.contains(m.inside);
    bool sound = m.through || canopyOfFabric ? isFabric(draft, fields.spot("inside"), m.inside)
                                             : isOpaque(draft, fields.spot("inside"), m.inside);
    sound = isFabric(draft, fields.spot("baffle"), m.baffle) && sound;
    sound = isFabric(draft, fields.spot("front"), m.front) && sound;
    if (m.deflector)
        sound =
            isOpaque(draft, fields.nested("deflector").spot("material"), m.deflector->material) &&
            sound;
    if (m.headBowl)
        sound = isOpaque(draft, fields.nested("bowl").spot("material"), m.headBowl->material) && sound;
    return sound;
}

const char* wordOf(Outline outline) {
    switch (outline) {
        case Outline::rectangle:
            return "rectangle";
        case Outline::octagon:
            return "octagon";
        case Outline::round:
            return "round";
    }
    return "";
}

/// Notes what modifierFrom filled in.
void recordDefaults(const Fields& fields, const ModifierModel& m) {
    const auto record = [&](const char* key, const std::string& value) {
        if (!fields.given(key)) fields.recordDefault(key, value);
    };
    const auto cm = [](double metres) { return fmt::format("{:.4g}", metres / kMetresPerCm); };
    const auto fabric = [](const std::string& name) { return name.empty() ? "none" : name; };
    record("inside", m.inside);
    record("lamp_at", cm(m.lampAt_m));
    if (m.kind == ModifierKind::umbrella) record("use", m.through ? "through" : "reflect");
    if (m.deflector && !fields.nested("deflector").given("material"))
        fields.nested("deflector").recordDefault("material", m.deflector->material);
    if (m.headBowl && !fields.nested("bowl").given("material"))
        fields.nested("bowl").recordDefault("material", m.headBowl->material);
    if (m.kind != ModifierKind::box) return;
    record("outline", wordOf(m.outline));
    record("baffle", fabric(m.baffle));
    if (!m.baffle.empty()) record("baffle_at", cm(m.baffleAt_m));
    record("front", fabric(m.front));
}

void readModifier(Draft& draft, const Object& object) {
    const Fields& fields = object.fields;
    const auto kind = kindOf(fields);
    if (kind && !refuseKeysOfOtherShapes(fields, *kind)) return;
    if (!fields.allSound()) return;
    try {
        const ModifierModel model = modifierFrom(object.name, fields.table());
        recordDefaults(fields, model);
        if (namesAreSound(draft, fields, model)) draft.library.modifiers[object.name] = model;
    } catch (const DefinitionError& error) {
        draft.messages().error(error.place, {fields.label() + ": " + error.what(), {}, {}});
    }
}

}  // namespace

void readModifiers(Draft& draft) {
    for (Object* object : draft.all("modifier")) readModifier(draft, *object);
}

}  // namespace keyfall
