// Checks every table of the file against the schema, and names the objects.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "scene/read_draft.h"

namespace keyfall {

namespace {

/// False, and a message, when a section has another form than [camera], [[light]], [lamp.NAME].
bool hasForm(Draft& draft, const Section& section, const Value& value) {
    using Form = Section::Form;
    bool sound = true;
    std::string wanted;
    if (section.form == Form::table) {
        sound = value.isTable();
        wanted = fmt::format("[{}]", section.name);
    } else if (section.form == Form::list) {
        sound = value.isList();
        for (const Value& entry : value.list) sound = sound && entry.isTable();
        wanted = fmt::format("[[{}]], once for each", section.name);
    } else if (section.form == Form::definitions) {
        sound = value.isTable();
        for (const Member& member : value.members) sound = sound && member.value.isTable();
        wanted = fmt::format("[{}.NAME]", section.name);
    }
    if (!sound)
        draft.messages().error(
            value.place,
            {fmt::format("\"{}\" has the wrong form", section.name), "allowed: " + wanted, {}});
    return sound;
}

void checkTitle(Draft& draft, const Value& value) {
    const Misfit wrong = misfit(*findKey("", "title"), value);
    if (wrong.bad())
        draft.messages().error(value.place, {"title " + wrong.found, wrong.allowed, wrong.fix});
    else
        draft.scene.title = value.text;
}

void addDefinitions(Draft& draft, const Section& section, const Value& value) {
    for (const Member& member : value.members) {
        const std::string label = fmt::format("{}.{}", section.name, member.name);
        if (!isName(member.name))
            draft.messages().error(member.place, {fmt::format("\"{}\" is no name", member.name),
                                                  "allowed: letters, digits, - and _",
                                                  {}});
        draft.objects.push_back(
            {section.name, member.name, Fields(draft.notes, section.name, label, member.value)});
    }
}

void addObjects(Draft& draft, const Section& section, const Value& value) {
    for (std::size_t i = 0; i < value.list.size(); ++i) {
        const std::string name = nameOfEntry(value.list[i], section.name, i);
        const std::string label = fmt::format("{}.{}", section.name, name);
        Fields fields(draft.notes, section.name, label, value.list[i]);
        if (!fields.given("name")) fields.recordDefault("name", name);
        draft.objects.push_back({section.name, name, std::move(fields)});
    }
}

bool isDefinition(const Object& object) {
    return findSection(object.kind)->form == Section::Form::definitions;
}

// "auto", "camera" and "up" are words of keys that also take names; "ambient" and "glow" name light
// of no lamp in by_light and in the layers.
constexpr std::array<const char*, 5> kReserved{"ambient", "auto", "camera", "glow", "up"};

/// "none" is the word for no modifier, gel, front or baffle: a definition of that name is never used.
void checkDefinitionName(const Object& object) {
    if (object.name != "none" || object.kind == "lamp" || object.kind == "material") return;
    object.fields.error("name", {fmt::format("\"none\" is the word for no {} at all", object.kind), {},
                                 "choose another name"});
}

/// One name space for all that stands on the set; definitions have one a kind (TOML sees to it).
void checkNames(Draft& draft) {
    std::map<std::string, const Object*> seen;
    for (const Object& object : draft.objects) {
        if (isDefinition(object)) checkDefinitionName(object);
        if (isDefinition(object) || object.kind == "camera") continue;
        if (std::find(kReserved.begin(), kReserved.end(), object.name) != kReserved.end()) {
            object.fields.error("name",
                                {fmt::format("\"{}\" has a meaning of its own", object.name),
                                 "reserved: " + joined({kReserved.begin(), kReserved.end()}),
                                 "choose another name"});
            continue;
        }
        if (object.kind == "variant" && object.name == "as-written") {
            object.fields.error(
                "name", {"\"as-written\" means the set without any variant", {}, "choose another name"});
            continue;
        }
        const auto [at, isNew] = seen.emplace(object.name, &object);
        if (isNew) continue;
        object.fields.error("name", {fmt::format("\"{}\" is taken", object.name),
                                     fmt::format("the {} of line {} has this name; names are "
                                                 "unique in a file",
                                                 at->second->kind, at->second->fields.place().line),
                                     "choose another name"});
    }
}

void readMember(Draft& draft, const Member& member) {
    const Section* section = findSection(member.name);
    if (section == nullptr) {
        draft.messages().error(
            member.place,
            {fmt::format("\"{}\" is no known section", member.name),
             "known here: " + joined(sectionNames()), didYouMean(member.name, sectionNames())});
        return;
    }
    if (!hasForm(draft, *section, member.value)) return;
    switch (section->form) {
        case Section::Form::value:
            checkTitle(draft, member.value);
            break;
        case Section::Form::table:
            draft.single.emplace(member.name,
                                 Fields(draft.notes, member.name, member.name, member.value));
            break;
        case Section::Form::list:
            addObjects(draft, *section, member.value);
            break;
        case Section::Form::definitions:
            addDefinitions(draft, *section, member.value);
            break;
    }
}

}  // namespace

void indexObjects(Draft& draft) {
    for (const Member& member : draft.root.members) readMember(draft, member);
    for (const Section& section : topLevel())
        if (section.form == Section::Form::table)
            draft.single.try_emplace(section.name, draft.notes, section.name, section.name,
                                     draft.nothing);
    // The camera is placed and named like the other objects; in front, so that its name finds it
    // even where another object takes that name by mistake.
    draft.objects.push_front({"camera", "camera", std::move(draft.single.at("camera"))});
    draft.single.erase("camera");
    checkNames(draft);
}

}  // namespace keyfall
