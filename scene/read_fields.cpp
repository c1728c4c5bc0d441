// Checking a table against the schema, and typed look-up.
#include "scene/read_fields.h"

#include <fmt/format.h>

#include "scene/photo.h"
#include "scene/read_toml.h"

namespace keyfall {

Fields::Fields(Notes& notes, std::string_view section, std::string label, const Value& table)
    : notes_(&notes), section_(section), label_(std::move(label)), table_(&table) {
    for (const Member& member : table.members) checkMember(member);
    checkMissing();
}

void Fields::checkMember(const Member& member) {
    const Key* key = findKey(section_, member.name);
    const std::string path = label_ + "." + member.name;
    if (key == nullptr) {
        allSound_ = false;
        const auto known = namesOf(keysOf(section_));
        notes_->messages.error(
            member.place, {fmt::format("{} is no known key", path), "known here: " + joined(known),
                           didYouMean(member.name, known)});
        return;
    }
    const Misfit wrong = misfit(*key, member.value);
    if (wrong.bad()) {
        allSound_ = false;
        notes_->messages.error(member.value.place,
                               {path + " " + wrong.found, wrong.allowed, wrong.fix});
    } else if (key->need == Need::notBuilt) {
        allSound_ = false;
        notes_->messages.error(member.value.place,
                               {path + ": not in this version", {}, "leave it out"});
    } else {
        sound_.insert(member.name);
        if (!member.value.isTable() || key->type == Type::names || key->type == Type::paths) return;
        const std::string_view section = key->type == Type::aim ? "aim" : key->note;
        auto inner = std::make_unique<Fields>(*notes_, section, path, member.value);
        if (!inner->allSound()) {
            allSound_ = false;
            sound_.erase(member.name);
        }
        nested_.emplace(member.name, std::move(inner));
    }
}

void Fields::checkMissing() {
    for (const Key& key : keysOf(section_)) {
        if (key.need != Need::required || given(key.name)) continue;
        allSound_ = false;
        notes_->messages.error(
            table_->place,
            {fmt::format("{} has no \"{}\"", label_, key.name), "needed: " + allowedFor(key), {}});
    }
}

Place Fields::placeOf(std::string_view key) const {
    const Value* value = table_->find(key);
    return value != nullptr ? value->place : table_->place;
}

bool Fields::given(std::string_view key) const {
    return table_->find(key) != nullptr;
}
bool Fields::sound(std::string_view key) const {
    return sound_.contains(key);
}

const Value* Fields::value(std::string_view key) const {
    if (sound(key)) return table_->find(key);
    const Key* row = findKey(section_, key);
    if (row == nullptr || *row->fallback == '\0') return nullptr;
    if (!given(key) && !recorded_.contains(key)) {
        const std::string_view text = row->fallback;
        const bool quoted = text.size() > 1 && text.front() == '"';
        recordDefault(key, std::string(quoted ? text.substr(1, text.size() - 2) : text));
    }
    auto& parsed = notes_->parsedFallbacks;
    const auto at = parsed.find(row);
    if (at != parsed.end()) return &at->second;
    return &parsed.emplace(row, parseLooseValue(row->fallback, {})).first->second;
}

double Fields::number(std::string_view key) const {
    const Value* v = value(key);
    return v != nullptr && v->isNumber() ? v->number : 0.0;
}

std::string Fields::text(std::string_view key) const {
    const Value* v = value(key);
    return v != nullptr ? v->text : std::string();
}

bool Fields::flag(std::string_view key) const {
    const Value* v = value(key);
    return v != nullptr && v->flag;
}

std::vector<double> Fields::numbers(std::string_view key) const {
    std::vector<double> list;
    if (const Value* v = value(key))
        for (const Value& entry : v->list) list.push_back(entry.number);
    return list;
}

glm::dvec2 Fields::pair(std::string_view key) const {
    const auto list = numbers(key);
    return list.size() == 2 ? glm::dvec2(list[0], list[1]) : glm::dvec2(0.0);
}

glm::dvec3 Fields::triple(std::string_view key) const {
    const auto list = numbers(key);
    return list.size() == 3 ? glm::dvec3(list[0], list[1], list[2]) : glm::dvec3(0.0);
}

double Fields::seconds(std::string_view key) const {
    const Value* v = value(key);
    if (v == nullptr) return 0.0;
    return v->isNumber() ? v->number : parseTime_s(v->text).value_or(0.0);
}

double Fields::powerStops(std::string_view key) const {
    const Value* v = value(key);
    if (v == nullptr) return 0.0;
    return parsePower(v->isNumber() ? fmt::format("{}", v->number) : v->text).stops;
}

void Fields::error(std::string_view key, Complaint complaint) const {
    complaint.found = fmt::format("{}.{}: {}", label_, key, complaint.found);
    notes_->messages.error(placeOf(key), complaint);
}

void Fields::recordDefault(std::string_view key, std::string value) const {
    if (recorded_.emplace(key).second)
        notes_->defaults.push_back({fmt::format("{}.{}", label_, key), std::move(value)});
}

bool Fields::atMostOne(const std::vector<std::string_view>& keys) const {
    std::string_view first;
    for (const std::string_view key : keys) {
        if (!given(key)) continue;
        if (first.empty()) {
            first = key;
            continue;
        }
        error(key, {fmt::format("stands beside \"{}\"", first),
                    fmt::format("allowed: one of {}", joined({keys.begin(), keys.end()})),
                    fmt::format("leave out \"{}\" or \"{}\"", first, key)});
        return false;
    }
    return true;
}

}  // namespace keyfall
