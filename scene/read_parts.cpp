// What commands use: [motion], [video], [[edge]], [[variant]], [compare]. Not here: [limits].
#include <fmt/format.h>

#include <algorithm>

#include "scene/read_draft.h"

namespace keyfall {

namespace {

/// A variant's key paths and values are checked as --set would take them.
void checkVariant(Draft& draft, const Fields& fields) {
    const Value* set = fields.sound("set") ? fields.value("set") : nullptr;
    if (set == nullptr) return;
    for (const Member& entry : set->members) {
        const auto path = findPath(draft, entry.name, entry.place, false);
        if (!path || path->key == nullptr) continue;
        const Misfit wrong = misfit(*path->key, entry.value);
        if (wrong.bad())
            draft.messages().error(entry.value.place, {fmt::format("{}.set: {} {}", fields.label(),
                                                                   entry.name, wrong.found),
                                                       wrong.allowed, wrong.fix});
    }
}

std::string plainly(const Value& value) { return value.isText() ? value.text : shown(value); }

/// What the key is in the tree as it stands: written, else its default.
std::string asWritten(Draft& draft, const Member& entry) {
    if (draft.messages().hasErrors()) return {};  // a wrong path was told once
    const auto path = findPath(draft, entry.name, entry.place, false);
    if (!path) return {};
    if (const Value* value = path->table->find(path->name)) return plainly(*value);
    std::string fallback = path->key != nullptr ? path->key->fallback : "";
    std::erase(fallback, '"');
    return fallback;
}

void readVariant(Draft& draft, const Object& variant) {
    checkVariant(draft, variant.fields);
    Variant read{variant.name, variant.fields.text("caption"), {}, {}, {}};
    if (const Value* set = variant.fields.value("set"))
        for (const Member& entry : set->members) {
            read.keys.push_back(entry.name);
            read.values.push_back(plainly(entry.value));
            read.written.push_back(asWritten(draft, entry));
        }
    draft.scene.variants.push_back(std::move(read));
}

void readEdge(Draft& draft, const Object& edge) {
    const Fields& fields = edge.fields;
    if (!fields.sound("from") || !fields.sound("to")) return;
    if (fields.triple("from") == fields.triple("to"))
        fields.error("to", {"is the same point as `from`", "needed: a line across the shadow edge", {}});
    else if (fields.flag("on"))
        draft.scene.edges.push_back({edge.name, metres(fields.triple("from")), metres(fields.triple("to"))});
}

Compare::By byFrom(const std::string& word) {
    return word == "iso"        ? Compare::By::iso
           : word == "shutter"  ? Compare::By::shutter
           : word == "aperture" ? Compare::By::aperture
           : word == "none"     ? Compare::By::none
                                : Compare::By::power;
}

/// Default probes count, too; so the scene's are asked and not the file's.
void readEqualAt(Draft& draft, const Fields& fields) {
    if (!fields.sound("equal_at")) return;
    const std::string name = fields.text("equal_at");
    std::vector<std::string> names;
    for (const Probe& probe : draft.scene.probes) names.push_back(probe.name);
    draft.scene.compare.equalAt = name;
    if (std::find(names.begin(), names.end(), name) != names.end() || draft.messages().hasErrors()) return;
    fields.error("equal_at", {fmt::format("there is no probe \"{}\"", name),
                              names.empty() ? std::string("the set has no probe") : "known here: " + joined(names),
                              didYouMean(name, names)});
}

/// The flash is over long before any shutter time is: no time makes its light more or less.
void refuseShutterOfFlash(Draft& draft, const Fields& fields) {
    if (draft.scene.compare.by != Compare::By::shutter) return;
    for (const Light& light : draft.scene.lights)
        if (light.kind == LightKind::flash && light.strength() > 0.0) {
            fields.error("by", {fmt::format("is \"shutter\", and {} is a flash, whose light no shutter time changes", light.name),
                                "allowed with flash: power | iso | aperture | none", "by = \"power\""});
            return;
        }
}

void readCompare(Draft& draft) {
    const Fields& fields = draft.section("compare");
    Compare& compare = draft.scene.compare;
    readEqualAt(draft, fields);
    compare.by = byFrom(fields.text("by"));
    refuseShutterOfFlash(draft, fields);
    const Value* lamps = fields.sound("lamps") ? fields.value("lamps") : nullptr;
    if (lamps == nullptr || !lamps->isList()) {
        compare.lamps = fields.text("lamps") == "all" ? Compare::Lamps::all : Compare::Lamps::changed;
        return;
    }
    compare.lamps = Compare::Lamps::named;
    std::vector<std::string> names;
    for (const Object* light : draft.all("light")) names.push_back(light->name);
    for (const Value& entry : lamps->list) {
        compare.named.push_back(entry.text);
        if (std::find(names.begin(), names.end(), entry.text) == names.end())
            draft.messages().error(
                entry.place, {fmt::format("compare.lamps: there is no light \"{}\"", entry.text),
                              "known here: " + joined(names), didYouMean(entry.text, names)});
    }
}

void readVideo(Draft& draft) {
    const Fields& motion = draft.section("motion");
    if (motion.sound("speed")) draft.scene.motion_mps = 0.01 * motion.number("speed");
    const Fields& fields = draft.section("video");
    if (!draft.wrote("video")) return;
    draft.scene.video = Video{fields.number("fps"), fields.number("shutter_angle"), fields.number("mains")};
}

}  // namespace

void readOtherParts(Draft& draft) {
    for (const Object* edge : draft.all("edge")) readEdge(draft, *edge);
    for (const Object* variant : draft.all("variant")) readVariant(draft, *variant);
    readCompare(draft);
    readLimits(draft);
    readVideo(draft);
}

}  // namespace keyfall
