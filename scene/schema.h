// What a scene file may say: one row a key, with its type, range, unit and default. The tables are
// in schema_set.cpp (the set) and schema_parts.cpp (definitions, commands' parts).
// Not here: what the keys do (read_*.cpp).
#pragma once

#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "scene/read_value.h"

namespace keyfall {

/// Places and sizes end here. Rays leave a surface at most 20 um off it, and a float step is 7.6 um
/// at 100 m but 61 um at 1 km, where a set reads less light than the same set at the origin.
inline constexpr double kFarthest_cm = 10000.0;

enum class Type {
    number,  ///< finite, in range
    integer,
    text,     ///< a string, not empty
    word,     ///< one of `note`: "flash|continuous"
    flag,     ///< true | false
    name,     ///< letters, digits, - and _
    pair,     ///< [a, b], each in range
    triple,   ///< [a, b, c]
    place,    ///< [x, y, z], or [x, z] for what stands on something
    numbers,  ///< one to four numbers, each in range
    points,   ///< a list of [a, b]
    texts,    ///< a list of strings
    textOrTexts,
    target,      ///< [x, y, z] or a name
    aim,         ///< a target or { from = target, to = target }
    time,        ///< seconds or "1/125"
    times,       ///< a list of times
    power,       ///< 1.0, "1/4+0.3", "60%", "-1.3 stops"
    aperture,    ///< an f-number or a reading "f/16 3/10"
    colour,      ///< [r, g, b] linear Rec. 709 or "#1f4d66" sRGB
    factor,      ///< a number in range or a CSV file of a spectrum
    absorption,  ///< [r, g, b] per cm or a CSV file
    white,       ///< kelvin or a name
    names,       ///< a table of strings: part = material
    paths,       ///< a table from key paths (light.key.power) to values
    lamps,       ///< a word of `note` or a list of names
    table        ///< a nested section, named by `note`
};

enum class Need { optional, required, notBuilt };

struct Range {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
    bool lowIncluded = true;
};
constexpr Range anyNumber() {
    return {};
}
constexpr Range above(double low) {
    return {low, std::numeric_limits<double>::infinity(), false};
}
constexpr Range atLeast(double low) {
    return {low};
}
constexpr Range between(double low, double high) {
    return {low, high};
}

struct Key {
    const char* name;
    Type type;
    Range range = {};
    const char* note = "";      ///< unit of a number; words of a word; section of a table
    const char* fallback = "";  ///< the default as TOML; "": none, or it depends on the scene
    Need need = Need::optional;
};

/// One row of the file's top level.
struct Section {
    enum class Form { value, table, list, definitions };
    const char* name;
    Form form;             ///< title = ..., [camera], [[light]], [lamp.NAME]
    bool isPlace = true;   ///< of a list: its entries stand somewhere, so that names can be aimed at
};

std::span<const Section> topLevel();
const Section* findSection(std::string_view name);
/// The keys of a section or of a nested table ("around", "reads", ...). Not checked: a wrong name.
std::span<const Key> keysOf(std::string_view section);
const Key* findKey(std::string_view section, std::string_view key);
std::vector<std::string> namesOf(std::span<const Key> keys);
std::vector<std::string> sectionNames();

/// Says what is wrong with `value` for this key: "" when it is sound. Nested tables are not
/// entered.
struct Misfit {
    std::string found;    ///< "is -3"
    std::string allowed;  ///< "allowed: a number above 0 (mm)"
    std::string fix;
    bool bad() const { return !found.empty(); }
};
Misfit misfit(const Key& key, const Value& value);

/// "a number from 0 to 1", "flash | continuous", ...: what a key allows, for messages.
std::string allowedFor(const Key& key);

bool isName(std::string_view text);
std::vector<std::string> splitWords(std::string_view words);  ///< at '|'

}  // namespace keyfall
