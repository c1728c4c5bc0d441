// Typed look at the keys of one definition. Not here: what they mean (library_definitions.cpp).
#include "scene/library_table.h"

#include <fmt/format.h>
#include <algorithm>

#include "scene/library_values.h"
#include "scene/photo.h"
#include "scene/photo_text.h"

namespace keyfall {

void DefinitionTable::fail(const char* key, const std::string& problem) const {
    const Value* value = table.find(key);
    throw DefinitionError(value ? value->place : table.place, fmt::format("{}: {}", key, problem));
}

std::optional<double> DefinitionTable::number(const char* key) const {
    const Value* value = table.find(key);
    if (!value) return {};
    if (!value->isNumber()) fail(key, shown(*value) + "; a number is allowed");
    return value->number;
}

std::optional<bool> DefinitionTable::flag(const char* key) const {
    const Value* value = table.find(key);
    if (!value) return {};
    if (value->kind != Value::Kind::flag) fail(key, shown(*value) + "; true or false is allowed");
    return value->flag;
}

std::optional<std::string> DefinitionTable::text(const char* key) const {
    const Value* value = table.find(key);
    if (!value) return {};
    if (!value->isText()) fail(key, shown(*value) + "; a text is allowed");
    return value->text;
}

std::optional<std::vector<double>> DefinitionTable::numbers(const char* key) const {
    const Value* value = table.find(key);
    if (!value) return {};
    const auto isNumber = [](const Value& v) { return v.isNumber(); };
    if (!value->isList() || !std::all_of(value->list.begin(), value->list.end(), isNumber))
        fail(key, shown(*value) + "; a list of numbers is allowed");
    std::vector<double> list;
    for (const Value& entry : value->list) list.push_back(entry.number);
    return list;
}

std::optional<double> DefinitionTable::time_s(const char* key) const {
    const Value* value = table.find(key);
    if (!value) return {};
    const std::optional<double> time =
        value->isText() ? parseTime_s(value->text) : std::optional(number(key).value());
    if (!time || !(*time > 0.0)) fail(key, shown(*value) + "; seconds or \"1/1200\" is allowed");
    return time;
}

std::optional<double> DefinitionTable::power_stops(const char* key) const {
    const Value* value = table.find(key);
    if (!value) return {};
    const PowerOrError power =
        parsePower(value->isText() ? value->text : shortNumber(number(key).value(), 15));
    if (!power.error.empty()) fail(key, power.error);
    return power.stops;
}

std::optional<Bands> DefinitionTable::colour(const char* key) const {
    const Value* value = table.find(key);
    if (!value) return {};
    if (value->isText()) {
        const auto linear = linearFromHex(value->text);
        if (!linear) fail(key, shown(*value) + "; [r, g, b] or \"#1f4d66\" is allowed");
        return reflectanceFromRgb(*linear);
    }
    const std::vector<double> rgb = numbers(key).value();
    const auto isShare = [](double v) { return v >= 0.0 && v <= 1.0; };
    if (rgb.size() != 3 || !std::all_of(rgb.begin(), rgb.end(), isShare))
        fail(key, shown(*value) + "; three shares from 0 to 1 are allowed (linear Rec. 709)");
    return reflectanceFromRgb(glm::vec3(rgb[0], rgb[1], rgb[2]));
}

std::optional<Bands> DefinitionTable::factor(const char* key) const {
    const Value* value = table.find(key);
    if (!value) return {};
    if (value->isText()) return shareFromCsv(file(value->text));
    const double share = number(key).value();
    if (!(share >= 0.0 && share <= 1.0)) fail(key, shown(*value) + "; 0 to 1 is allowed");
    return Bands(static_cast<float>(share));
}

}  // namespace keyfall
