// TOML 1.0 text into a Value tree. Not here: what the keys mean (schema.h).
#pragma once

#include <string>
#include <string_view>
#include <variant>

#include "scene/read_value.h"

namespace keyfall {

struct SyntaxError {
    Place place;
    std::string text;  ///< what was found; what is allowed
};

/// Places carry `fileName` as it is given. Numbers may still be inf or nan: the schema refuses
/// them.
std::variant<Value, SyntaxError> parseToml(std::string_view text, const std::string& fileName);

/// The value of a --set option: a TOML value, else the text itself. Every place in it is `place`.
Value parseLooseValue(std::string_view text, const Place& place);

}  // namespace keyfall
