// Modifiers on the lights of a file. Not here: building them (modifier_build*.cpp).
#include "scene/read_worn.h"

#include <fmt/format.h>

#include "scene/modifier_build.h"
#include "scene/placement.h"
#include "scene/read_surface.h"
#include "scene/solids.h"

namespace keyfall {

namespace {

/// Empty after a mistake.
const ModifierModel* modelNamed(Draft& draft, const Fields& light, std::string_view key,
                                const std::string& name) {
    const auto at = draft.library.modifiers.find(name);
    if (at != draft.library.modifiers.end()) return &at->second;
    const Value* own = draft.root.find("modifier");
    if (own != nullptr && own->find(name) != nullptr) return nullptr;  // its mistake is told there
    std::vector<std::string> names{"none"};
    for (const auto& [modifier, model] : draft.library.modifiers) names.push_back(modifier);
    light.error(key, {fmt::format("there is no modifier \"{}\"", name),
                      "allowed: \"none\", or a name of `keyfall list modifier` or of [modifier.NAME]",
                      didYouMean(name, names)});
    return nullptr;
}

/// The modifier is an object of its own: it stays where its light is off or at power 0.
DraftItem itemOf(const Light& light, std::size_t index, const ModifierPart& part,
                 std::size_t material, Object* object) {
    DraftItem entry;
    entry.object = object;
    entry.item.name = light.name;
    entry.item.kind = ItemKind::modifier;
    entry.item.mesh = part.mesh;
    place(entry.item.mesh, light.axes, light.exit_m);
    entry.item.materials = {material};
    entry.item.at_m = light.exit_m;
    entry.item.frame = light.axes;
    entry.item.light = index;
    entry.item.caption = light.caption;
    return entry;
}

}  // namespace

std::optional<Body> BuiltModifiers::around(const Fields& light, std::string_view key,
                                           const LampModel& lamp) {
    if (light.bad(key)) return {};
    const std::string name = light.text(key);
    if (name == "none") return Body();
    const ModifierModel* model = modelNamed(draft_, light, key, name);
    if (model == nullptr) return {};
    Body& body = built_[{name, lamp.name}];
    if (body) return body;
    try {
        body = std::make_shared<const ModifierBody>(buildModifier(
            *model, lamp.shape, draft_.library.materials, draft_.library.fabrics));
        return body;
    } catch (const ModifierMisfit& misfit) {
        light.error(key, {misfit.what(), {}, {}});
    } catch (const std::out_of_range&) {
        if (!draft_.messages().hasErrors()) throw;  // of a material with a mistake, told there
    }
    return {};
}

void standLight(const Fields& fields, glm::vec3 at_m, const Aim& aim, Light& light) {
    light.axes = frameFacing(aim.direction, glm::radians(fields.number("roll")));
    light.shape.frame = light.body ? lampFrameIn(*light.body, light.axes) : light.axes;
    light.exit_m = light.shape.centre_m = at_m;
    light.exitDistance_m = light.lampDistance_m = aim.distance_m;
    const bool toLamp = fields.text("measured_to") == "lamp";
    if (!light.body) return;
    const glm::vec3 lamp_m = light.body->lampCentre_m;  // from the exit
    if (toLamp) {
        light.exit_m -= light.axes.toWorld(lamp_m);
        light.exitDistance_m += static_cast<double>(lamp_m.z);
    } else {
        light.shape.centre_m += light.axes.toWorld(lamp_m);
        light.lampDistance_m -= static_cast<double>(lamp_m.z);
    }
    if (light.exitDistance_m <= 0.0)
        fields.error(
            "measured_to",
            {fmt::format("its aim lies {:.4g} cm behind the exit of \"{}\"",
                         -light.exitDistance_m / kMetresPerCm, light.modifier),
             fmt::format("needed: more than {:.4g} cm from the lamp to the aim",
                         -static_cast<double>(lamp_m.z) / kMetresPerCm),
             "move the light back, or measure to the exit"});
}

void standModifiers(Draft& draft) {
    for (std::size_t i = 0; i < draft.scene.lights.size(); ++i) {
        const Light& light = draft.scene.lights[i];
        if (!light.body) continue;
        std::vector<std::size_t> materials;
        for (const Material& material : light.body->materials)
            materials.push_back(addMaterial(draft, material));
        Object* object = draft.find(light.name);
        for (const ModifierPart& part : light.body->parts)
            draft.items.push_back(itemOf(light, i, part, materials.at(part.material), object));
    }
}

bool isWithinModifier(const Draft& draft, std::size_t light, glm::vec3 at_m) {
    const Light& wearer = draft.scene.lights[light];
    if (!wearer.body) return false;
    std::vector<const Item*> walls;
    std::size_t part = 0;
    for (const DraftItem& entry : draft.items) {
        if (entry.item.kind != ItemKind::modifier || entry.item.light != light) continue;
        if (!wearer.body->parts[part++].outside) walls.push_back(&entry.item);
    }
    const auto meets = [&](glm::vec3 way) { return firstHit(walls, at_m, way).has_value(); };
    const Frame& f = wearer.axes;
    return (meets(-f.z) || meets(f.z)) && meets(f.x) && meets(-f.x) && meets(f.y) && meets(-f.y);
}

}  // namespace keyfall
