// The only translation unit that sees toml++.
#include "scene/read_toml.h"

#include <toml++/toml.h>
#include <sstream>

namespace keyfall {
namespace {

Place placeOf(const toml::source_region& region, const std::string& file) {
    return {file, static_cast<int>(region.begin.line), static_cast<int>(region.begin.column)};
}

Value convert(const toml::node& node, const std::string& file) {
    Value value;
    value.place = placeOf(node.source(), file);
    if (const auto* table = node.as_table()) {
        for (const auto& [key, child] : *table) {
            value.members.push_back(
                {std::string(key.str()), placeOf(key.source(), file), convert(child, file)});
        }
    } else if (const auto* array = node.as_array()) {
        value.kind = Value::Kind::list;
        for (const toml::node& child : *array) value.list.push_back(convert(child, file));
    } else if (const auto* text = node.as_string()) {
        value.kind = Value::Kind::text;
        value.text = text->get();
    } else if (const auto* flag = node.as_boolean()) {
        value.kind = Value::Kind::flag;
        value.flag = flag->get();
    } else if (const auto* integer = node.as_integer()) {
        value.kind = Value::Kind::integer;
        value.number = static_cast<double>(integer->get());
    } else if (const auto* number = node.as_floating_point()) {
        value.kind = Value::Kind::number;
        value.number = number->get();
    } else {
        std::ostringstream written;
        written << toml::node_view<const toml::node>(node);
        value.kind = Value::Kind::other;
        value.text = written.str();
    }
    return value;
}

void moveTo(const Place& place, Value& value) {
    value.place = place;
    for (Value& entry : value.list) moveTo(place, entry);
    for (Member& member : value.members) {
        member.place = place;
        moveTo(place, member.value);
    }
}

}  // namespace

std::variant<Value, SyntaxError> parseToml(std::string_view text, const std::string& fileName) {
    try {
        return convert(toml::parse(text, fileName), fileName);
    } catch (const toml::parse_error& error) {
        return SyntaxError{placeOf(error.source(), fileName), std::string(error.description())};
    }
}

Value parseLooseValue(std::string_view text, const Place& place) {
    Value value;
    const auto parsed = parseToml("v = " + std::string(text), {});
    const auto* table = std::get_if<Value>(&parsed);
    // More than the one key: the text held a line break and more TOML; then it is text.
    if (table != nullptr && table->members.size() == 1 && table->members[0].name == "v") {
        value = table->members[0].value;
    } else {
        value.kind = Value::Kind::text;
        value.text = std::string(text);
    }
    moveTo(place, value);
    return value;
}

}  // namespace keyfall
