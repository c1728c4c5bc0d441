// What commands use: [limits], [motion], [video], [[edge]], [[variant]], [compare].
#include <fmt/format.h>

#include <algorithm>

#include "scene/photo.h"
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

void readVariant(Draft& draft, const Object& variant) {
    checkVariant(draft, variant.fields);
    Variant read{variant.name, variant.fields.text("caption"), {}};
    if (const Value* set = variant.fields.value("set"))
        for (const Member& entry : set->members) read.keys.push_back(entry.name);
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

void readCompare(Draft& draft) {
    const Fields& fields = draft.section("compare");
    Compare& compare = draft.scene.compare;
    readEqualAt(draft, fields);
    compare.by = byFrom(fields.text("by"));
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

double secondsOf(const Fields& limits, std::size_t i) {
    const Value& time = limits.value("shutter")->list[i];
    return time.isNumber() ? time.number : parseTime_s(time.text).value_or(0.0);
}

void checkLimits(const Fields& fields) {
    for (const char* key : {"aperture", "iso"}) {
        const glm::dvec2 range = fields.sound(key) ? fields.pair(key) : glm::dvec2(0.0);
        if (range.x > range.y)
            fields.error(key, {fmt::format("starts at {} and ends at {}", range.x, range.y),
                               "allowed: the smaller number first",
                               {}});
    }
    if (fields.sound("shutter") && fields.value("shutter")->list.size() != 2)
        fields.error("shutter", {"is no pair", "allowed: [\"1/200\", \"8\"]", {}});
    else if (fields.sound("shutter") && secondsOf(fields, 0) > secondsOf(fields, 1))
        fields.error("shutter", {"starts at the longer time",
                                 "allowed: the shorter time first",
                                 "for example [\"1/200\", \"8\"]"});
}

/// Engraved numbers at either end of the range name their exact steps.
std::optional<glm::dvec2> exactRange(const Fields& fields, const char* key, Engraved (*engraved)(double)) {
    if (!fields.sound(key)) return {};
    const glm::dvec2 range = fields.pair(key);
    return glm::dvec2(engraved(range.x).exact, engraved(range.y).exact);
}

Limits limitsFrom(const Fields& fields) {
    Limits limits;
    limits.aperture = exactRange(fields, "aperture", engravedAperture);
    limits.iso = exactRange(fields, "iso", engravedIso);
    if (fields.sound("shutter") && fields.value("shutter")->list.size() == 2)
        limits.shutter_s = glm::dvec2(engravedShutter(secondsOf(fields, 0)).exact, engravedShutter(secondsOf(fields, 1)).exact);
    if (!fields.sound("prefer")) return limits;
    using Prefer = Limits::Prefer;
    static const std::map<std::string, Prefer> kWords = {
        {"depth", Prefer::depth},     {"grain", Prefer::grain}, {"blur", Prefer::blur},
        {"ambient", Prefer::ambient}, {"flash", Prefer::flash}, {"continuous", Prefer::continuous}};
    for (const Value& word : fields.value("prefer")->list) limits.prefer.push_back(kWords.at(word.text));
    return limits;
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
    checkLimits(draft.section("limits"));
    draft.scene.limits = limitsFrom(draft.section("limits"));
    readVideo(draft);
}

}  // namespace keyfall
