// Checks one value against one row of the schema. Not here: keys that depend on each other.
#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "scene/diagnostics.h"
#include "scene/photo.h"
#include "scene/schema.h"

namespace keyfall {

namespace {

bool inside(const Range& range, double x) {
    if (!std::isfinite(x) || x > range.high) return false;
    return range.lowIncluded ? x >= range.low : x > range.low;
}

std::string rangeWords(const Range& range) {
    const bool low = std::isfinite(range.low), high = std::isfinite(range.high);
    if (low && high && range.lowIncluded)
        return fmt::format(" from {} to {}", range.low, range.high);
    if (low && high) return fmt::format(" above {} and up to {}", range.low, range.high);
    if (low) return fmt::format("{} {}", range.lowIncluded ? ", at least" : " above", range.low);
    if (high) return fmt::format(" up to {}", range.high);
    return {};
}

std::string unitWords(const Key& key) {
    return *key.note == '\0' ? std::string() : fmt::format(" ({})", key.note);
}

bool allNumbers(const Value& value, std::size_t fewest, std::size_t most, const Range& range) {
    return value.isList() && value.list.size() >= fewest && value.list.size() <= most &&
           std::all_of(value.list.begin(), value.list.end(), [&](const Value& entry) {
               return entry.isNumber() && inside(range, entry.number);
           });
}

bool isHexColour(std::string_view text) {
    return text.size() == 7 && text[0] == '#' &&
           std::all_of(text.begin() + 1, text.end(),
                       [](unsigned char c) { return std::isxdigit(c) != 0; });
}

bool isTarget(const Key& key, const Value& value) {
    return allNumbers(value, 3, 3, key.range) || (value.isText() && isName(value.text));
}

bool isTime(const Key& key, const Value& value) {
    if (value.isNumber()) return inside(key.range, value.number);
    if (!value.isText()) return false;
    const auto seconds = parseTime_s(value.text);
    return seconds && inside(key.range, *seconds);
}

bool isAperture(const Key& key, const Value& value) {
    if (value.isNumber()) return inside(key.range, value.number);
    if (!value.isText()) return false;
    const auto number = parseApertureReading(value.text);
    return number && inside(key.range, *number);
}

bool isWord(const Key& key, const Value& value) {
    const auto words = splitWords(key.note);
    return value.isText() && std::find(words.begin(), words.end(), value.text) != words.end();
}

bool isListOf(const Value& value, bool (*sound)(const Key&, const Value&), const Key& key) {
    return value.isList() && !value.list.empty() &&
           std::all_of(value.list.begin(), value.list.end(),
                       [&](const Value& entry) { return sound(key, entry); });
}

bool isText(const Key&, const Value& value) {
    return value.isText() && !value.text.empty();
}
bool isPair(const Key& key, const Value& value) {
    return allNumbers(value, 2, 2, key.range);
}

bool isNames(const Value& value) {
    return value.isTable() &&
           std::all_of(value.members.begin(), value.members.end(),
                       [](const Member& member) { return member.value.isText(); });
}

std::string powerError(const Value& value) {
    const PowerOrError power =
        parsePower(value.isNumber() ? fmt::format("{}", value.number) : value.text);
    return power.error;
}

bool sound(const Key& key, const Value& value) {
    switch (key.type) {
        case Type::number:
            return value.isNumber() && inside(key.range, value.number);
        case Type::integer:
            return value.kind == Value::Kind::integer && inside(key.range, value.number);
        case Type::text:
            return isText(key, value);
        case Type::word:
            return isWord(key, value);
        case Type::flag:
            return value.kind == Value::Kind::flag;
        case Type::name:
            return value.isText() && isName(value.text);
        case Type::pair:
            return isPair(key, value);
        case Type::triple:
            return allNumbers(value, 3, 3, key.range);
        case Type::place:
            return allNumbers(value, 2, 3, key.range);
        case Type::numbers:
            return allNumbers(value, 1, 4, key.range);
        case Type::points:
            return isListOf(value, isPair, key) && value.list.size() >= 2;
        case Type::texts:
            return isListOf(value, *key.note != '\0' ? isWord : isText, key);
        case Type::textOrTexts:
            return isText(key, value) || isListOf(value, isText, key);
        case Type::target:
            return isTarget(key, value);
        case Type::aim:
            return isTarget(key, value) || value.isTable();
        case Type::time:
            return isTime(key, value);
        case Type::times:
            return isListOf(value, isTime, key);
        case Type::power:
            return (value.isText() || (value.isNumber() && std::isfinite(value.number))) &&
                   powerError(value).empty();
        case Type::aperture:
            return isAperture(key, value);
        case Type::colour:
            return allNumbers(value, 3, 3, key.range) ||
                   (value.isText() && isHexColour(value.text));
        case Type::factor:
            return (value.isNumber() && inside(key.range, value.number)) || isText(key, value);
        case Type::absorption:
            return allNumbers(value, 3, 3, key.range) || isText(key, value);
        case Type::white:
            return (value.isNumber() && inside(key.range, value.number)) ||
                   (value.isText() && isName(value.text));
        case Type::names:
            return isNames(value);
        case Type::paths:
        case Type::table:
            return value.isTable();
        case Type::lamps:
            return isWord(key, value) || isListOf(value, isText, key);
    }
    return false;
}

/// A number in quotes is the commonest slip.
std::string fixFor(const Key& key, const Value& value) {
    if (key.type == Type::word && value.isText())
        return didYouMean(value.text, splitWords(key.note));
    if (value.isText() && (key.type == Type::number || key.type == Type::integer)) {
        const bool digits = !value.text.empty() &&
                            value.text.find_first_not_of("0123456789.-") == std::string::npos;
        if (digits) return fmt::format("write {} without quotes", value.text);
    }
    if (key.type == Type::name && value.isText()) {
        std::string better;
        for (const char c : value.text) better += isName(std::string_view(&c, 1)) ? c : '-';
        if (isName(better)) return fmt::format("write \"{}\"", better);
    }
    if (*key.fallback != '\0') return fmt::format("for example {}", key.fallback);
    return {};
}

std::string quotedWords(const char* note) {
    std::vector<std::string> words = splitWords(note);
    for (std::string& word : words) word = fmt::format("\"{}\"", word);
    return joined(words, " | ");
}

}  // namespace

std::string allowedFor(const Key& key) {
    const std::string range = rangeWords(key.range) + unitWords(key);
    switch (key.type) {
        case Type::number:
            return "a number" + range;
        case Type::integer:
            return "a whole number" + range;
        case Type::text:
            return "a text in quotes";
        case Type::word:
            return quotedWords(key.note);
        case Type::flag:
            return "true | false";
        case Type::name:
            return "a name of letters, digits, - and _";
        case Type::pair:
            return "two numbers [a, b], each" + range;
        case Type::triple:
            return "three numbers [x, y, z], each" + range;
        case Type::place:
            return "[x, y, z] (or [x, z] with stands_on), each" + range;
        case Type::numbers:
            return "a list of one to four numbers, each" + range;
        case Type::points:
            return "a list of two or more pairs [a, b], each" + range;
        case Type::texts:
            return "a list of " + (*key.note != '\0' ? quotedWords(key.note) : "texts in quotes");
        case Type::textOrTexts:
            return "a text in quotes or a list of them";
        case Type::target:
            return "a point [x, y, z]" + unitWords(key) + " or a name";
        case Type::aim:
            return "a point [x, y, z], a name, or { from = ..., to = ... }";
        case Type::time:
            return "seconds or a fraction \"1/125\"," + range;
        case Type::times:
            return "a list of times (seconds or \"1/125\"), each" + range;
        case Type::power:
            return "1.0 = full, \"1/4\", \"1/4+0.3\", \"60%\" or \"-1.3 stops\", at most full";
        case Type::aperture:
            return "an f-number 11 or a reading \"f/16 3/10\"";
        case Type::colour:
            return "[r, g, b] (linear), each" + rangeWords(key.range) + ", or \"#1f4d66\" (sRGB)";
        case Type::factor:
            return "a number" + range + " or a CSV file (nm, value)";
        case Type::absorption:
            return "[r, g, b], each" + range + ", or a CSV file (nm, value)";
        case Type::white:
            return "a number" + range + ", a light's name or \"auto\"";
        case Type::names:
            return "a table { part = \"material\" }";
        case Type::paths:
            return "a table { \"light.key.power\" = \"1/4\" }";
        case Type::lamps:
            return quotedWords(key.note) + " or a list of lights' names";
        case Type::table:
            return "a table { ... }";
    }
    return {};
}

Misfit misfit(const Key& key, const Value& value) {
    if (sound(key, value)) return {};
    Misfit m;
    m.found = "is " + shown(value);
    m.allowed = "allowed: " + allowedFor(key);
    m.fix = fixFor(key, value);
    if (key.type == Type::power && (value.isText() || value.isNumber())) {
        m.allowed = powerError(value);
        m.fix.clear();
    }
    return m;
}

bool isName(std::string_view text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), [](unsigned char c) {
        return (c < 0x80U && std::isalnum(c) != 0) || c == '-' || c == '_';
    });
}

std::vector<std::string> splitWords(std::string_view words) {
    std::vector<std::string> list;
    while (!words.empty()) {
        const std::size_t bar = words.find('|');
        list.emplace_back(words.substr(0, bar));
        words = bar == std::string_view::npos ? std::string_view() : words.substr(bar + 1);
    }
    return list;
}

}  // namespace keyfall
