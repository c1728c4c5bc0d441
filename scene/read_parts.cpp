// [motion], [video]; [[edge]], [[variant]], [compare]: checked, and not used yet.
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

void checkEdge(const Fields& fields) {
    if (!fields.sound("from") || !fields.sound("to")) return;
    if (fields.triple("from") != fields.triple("to")) return;
    fields.error("to",
                 {"is the same point as `from`", "needed: a line across the shadow edge", {}});
}

void checkCompare(Draft& draft) {
    const Fields& fields = draft.section("compare");
    namedObject(draft, fields, "equal_at", "probe");
    const Value* lamps = fields.sound("lamps") ? fields.value("lamps") : nullptr;
    if (lamps == nullptr || !lamps->isList()) return;
    std::vector<std::string> names;
    for (const Object* light : draft.all("light")) names.push_back(light->name);
    for (const Value& entry : lamps->list)
        if (std::find(names.begin(), names.end(), entry.text) == names.end())
            draft.messages().error(
                entry.place, {fmt::format("compare.lamps: there is no light \"{}\"", entry.text),
                              "known here: " + joined(names), didYouMean(entry.text, names)});
}

void readVideo(Draft& draft) {
    const Fields& motion = draft.section("motion");
    if (motion.sound("speed")) draft.scene.motion_mps = 0.01 * motion.number("speed");
    const Fields& fields = draft.section("video");
    if (!draft.wrote("video")) return;
    draft.scene.video = Video{fields.number("fps"), fields.number("shutter_angle"), fields.number("mains")};
}

/// One warning a section, where it first stands.
void warnOfUnused(Draft& draft) {
    for (const Member& member : draft.root.members) {
        const Section* section = findSection(member.name);
        if (section == nullptr || section->built) continue;
        const bool list = section->form == Section::Form::list;
        const Place place =
            list && !member.value.list.empty() ? member.value.list[0].place : member.value.place;
        draft.warn(place, "not-in-this-version",
                   fmt::format("{} is checked and not used: not in this version",
                               list ? fmt::format("[[{}]]", section->name)
                                    : fmt::format("[{}]", section->name)));
    }
}

}  // namespace

void readOtherParts(Draft& draft) {
    for (const Object* edge : draft.all("edge")) checkEdge(edge->fields);
    for (const Object* variant : draft.all("variant")) checkVariant(draft, variant->fields);
    checkCompare(draft);
    readLimits(draft);
    readVideo(draft);
    warnOfUnused(draft);
}

}  // namespace keyfall
