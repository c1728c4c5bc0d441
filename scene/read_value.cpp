// The value tree: look-up and the short form in messages.
#include "scene/read_value.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace keyfall {

const Value* Value::find(std::string_view name) const {
    const auto at = std::find_if(members.begin(), members.end(),
                                 [name](const Member& m) { return m.name == name; });
    return at == members.end() ? nullptr : &at->value;
}

Value* Value::find(std::string_view name) {
    return const_cast<Value*>(std::as_const(*this).find(name));
}

void Value::set(std::string_view name, Value value) {
    if (Value* old = find(name)) {
        *old = std::move(value);
        return;
    }
    const Place keyPlace = value.place;
    members.push_back({std::string(name), keyPlace, std::move(value)});
}

namespace {

constexpr std::size_t kLongestShown = 40;  // characters; a pasted file must not fill the screen

std::string shownList(const Value& value) {
    std::string text = "[";
    for (const Value& entry : value.list) {
        if (text.size() > kLongestShown) return text + ", ...]";
        if (text.size() > 1) text += ", ";
        text += shown(entry);
    }
    return text + "]";
}

/// At most kLongestShown bytes, cut between UTF-8 characters.
std::string shortened(const std::string& text) {
    if (text.size() <= kLongestShown) return text;
    std::size_t end = kLongestShown;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
    return text.substr(0, end) + "...";
}

}  // namespace

std::string shown(const Value& value) {
    switch (value.kind) {
        case Value::Kind::flag:
            return value.flag ? "true" : "false";
        case Value::Kind::integer:
        case Value::Kind::number:
            return fmt::format("{}", value.number);
        // Not "..." + ...: GCC 12 warns of an overlap there that cannot be (-Wrestrict).
        case Value::Kind::text:
            return fmt::format("\"{}\"", shortened(value.text));
        case Value::Kind::list:
            return shownList(value);
        case Value::Kind::table:
            return "a table";
        case Value::Kind::other:
            return value.text;
    }
    return {};
}

}  // namespace keyfall
