// A parsed file as a plain tree in which every value knows its place. Not here: TOML's grammar
// (read_toml.h), what keys mean (schema.h).
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace keyfall {

/// Where something was written. Line 0: in a --set option (`file` holds its text), or nowhere.
struct Place {
    std::string file;
    int line = 0;
    int column = 0;
};

struct Member;

struct Value {
    enum class Kind { flag, integer, number, text, list, table, other };
    Kind kind = Kind::table;
    bool flag = false;
    double number = 0.0;  ///< of integers too
    std::string text;     ///< of `other` (dates, times): as written
    std::vector<Value> list;
    std::vector<Member> members;  ///< of a table, by name
    Place place;

    bool isNumber() const { return kind == Kind::integer || kind == Kind::number; }
    bool isText() const { return kind == Kind::text; }
    bool isList() const { return kind == Kind::list; }
    bool isTable() const { return kind == Kind::table; }

    /// Empty when this is no table or has no such key.
    const Value* find(std::string_view name) const;
    Value* find(std::string_view name);
    /// Replaces or adds. Call on tables only.
    void set(std::string_view name, Value value);
};

struct Member {
    std::string name;
    Place place;  ///< of the key
    Value value;
};

/// A short form for messages: 2.5, "text", [0, 8, 0], a table.
std::string shown(const Value& value);

}  // namespace keyfall
