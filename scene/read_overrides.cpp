// Key paths such as light.key.power: for --set and for the variants of a file.
#include <fmt/format.h>

#include "scene/read_draft.h"
#include "scene/read_toml.h"

namespace keyfall {

namespace {

std::vector<std::string> splitPath(const std::string& path) {
    std::vector<std::string> parts(1);
    for (const char c : path) {
        if (c == '.')
            parts.emplace_back();
        else
            parts.back() += c;
    }
    return parts;
}

/// Names of a mesh's parts hold points too: lid.001.
std::string joinedFrom(std::span<const std::string> parts, std::size_t first) {
    return joined({parts.begin() + static_cast<std::ptrdiff_t>(first), parts.end()}, ".");
}

/// The entry of [[section]] or [section.NAME] with this name; reports and returns empty otherwise.
Value* findEntry(Draft& draft, const Section& section, const std::string& name,
                 const Place& place) {
    std::vector<std::string> known;
    if (Value* list = draft.root.find(section.name)) {
        for (std::size_t i = 0; i < list->list.size(); ++i) {
            known.push_back(nameOfEntry(list->list[i], section.name, i));
            if (known.back() == name) return &list->list[i];
        }
        for (Member& member : list->members) {
            known.push_back(member.name);
            if (member.name == name) return &member.value;
        }
    }
    const std::string here = known.empty() ? fmt::format("the file has no {}", section.name)
                                           : fmt::format("known here: {}", joined(known));
    draft.messages().error(place, {fmt::format("there is no {} \"{}\"", section.name, name), here,
                                   didYouMean(name, known)});
    return nullptr;
}

/// The table of that name in `parent`, made when it is missing. Empty: there is something else.
Value* childTable(Draft& draft, Value& parent, const std::string& name, const Place& place,
                  bool create) {
    if (parent.find(name) == nullptr) {
        if (!create) return &draft.nothing;
        Value table;
        table.place = place;
        parent.set(name, table);
    }
    Value* child = parent.find(name);
    return child->isTable() ? child : nullptr;
}

/// Where the search stands: a table, and the section of the schema that it belongs to.
struct Cursor {
    Value* table = nullptr;
    std::string section;
    std::string path;
};

void reportUnknownKey(Draft& draft, const Cursor& at, const std::string& key, const Place& place) {
    const auto known = namesOf(keysOf(at.section));
    draft.messages().error(place, {fmt::format("{}.{} is no known key", at.path, key),
                                   "known here: " + joined(known), didYouMean(key, known)});
}

/// From the section's table down to the key; `parts` starts at the first key.
std::optional<KeyPath> descend(Draft& draft, Cursor at, std::span<const std::string> parts,
                               const Place& place, bool create) {
    for (std::size_t i = 0;; ++i) {
        const Key* key = findKey(at.section, parts[i]);
        if (key == nullptr) {
            reportUnknownKey(draft, at, parts[i], place);
            return {};
        }
        if (i + 1 == parts.size()) return KeyPath{key, at.table, parts[i]};
        const bool isTable =
            key->type == Type::table || key->type == Type::aim || key->type == Type::names;
        Value* child = isTable ? childTable(draft, *at.table, parts[i], place, create) : nullptr;
        at.path += "." + parts[i];
        if (child == nullptr) {
            draft.messages().error(place, {at.path + " is no table", {}, "set it as a whole"});
            return {};
        }
        if (key->type == Type::names) return KeyPath{nullptr, child, joinedFrom(parts, i + 1)};
        at.table = child;
        at.section = key->type == Type::aim ? "aim" : key->note;
    }
}

void reportUnknownSection(Draft& draft, const std::string& path, const std::string& name,
                          const Place& place) {
    draft.messages().error(place, {fmt::format("\"{}\" is no key path", path),
                                   "a path starts with " + joined(sectionNames(), " | "),
                                   didYouMean(name, sectionNames())});
}

void reportTooShort(Draft& draft, const std::string& path, const Place& place) {
    draft.messages().error(place, {fmt::format("\"{}\" names no key", path),
                                   {},
                                   "for example light.key.power or camera.aperture"});
}

/// The keys of the variant that is asked for; their values know their own places in the file.
void applyVariant(Draft& draft) {
    const std::string& name = draft.options.variant;
    if (name.empty()) return;
    const Place nowhere{draft.file.string(), 0, 0};
    const Value* variant = findEntry(draft, *findSection("variant"), name, nowhere);
    const Value* found = variant != nullptr ? variant->find("set") : nullptr;
    if (found == nullptr || !found->isTable()) return;
    const Value set = *found;  // a key may change the very tree that holds it
    for (const Member& entry : set.members)
        if (const auto path = findPath(draft, entry.name, entry.place, true))
            path->table->set(path->name, entry.value);
}

}  // namespace

std::string nameOfEntry(const Value& entry, const std::string& kind, std::size_t index) {
    const Value* name = entry.find("name");
    return name != nullptr && name->isText() ? name->text : fmt::format("{}-{}", kind, index + 1);
}

std::optional<KeyPath> findPath(Draft& draft, const std::string& path, const Place& place,
                                bool create) {
    const std::vector<std::string> parts = splitPath(path);
    const Section* section = findSection(parts[0]);
    if (section == nullptr) {
        reportUnknownSection(draft, path, parts[0], place);
        return {};
    }
    if (section->form == Section::Form::value && parts.size() == 1)
        return KeyPath{findKey("", parts[0]), &draft.root, parts[0]};
    const bool isTable = section->form == Section::Form::table;
    const std::size_t firstKey = isTable ? 1 : 2;
    if (section->form == Section::Form::value || parts.size() <= firstKey) {
        reportTooShort(draft, path, place);
        return {};
    }
    Value* table = isTable ? childTable(draft, draft.root, parts[0], place, create)
                           : findEntry(draft, *section, parts[1], place);
    if (table == nullptr) return {};
    const std::string start = isTable ? parts[0] : parts[0] + "." + parts[1];
    return descend(draft, {table, section->name, start}, std::span(parts).subspan(firstKey), place,
                   create);
}

void applyOverrides(Draft& draft) {
    for (const std::string& option : draft.options.set) {
        const Place place{"--set " + option, 0, 0};
        const std::size_t equals = option.find('=');
        if (equals == std::string::npos || equals == 0) {
            draft.messages().error(place,
                                   {"there is no value", "needed: a key path, =, and a value",
                                    "for example --set light.key.power=1/4"});
            continue;
        }
        const auto path = findPath(draft, option.substr(0, equals), place, true);
        if (path) path->table->set(path->name, parseLooseValue(option.substr(equals + 1), place));
    }
    applyVariant(draft);
}

}  // namespace keyfall
