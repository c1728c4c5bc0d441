// Small text helpers for numbers as photographers write them. Not here: their meaning (photo.h).
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace keyfall {

std::string_view trimmed(std::string_view text);

/// A finite decimal number that fills the whole text ("+0.3" too); independent of the locale.
/// Empty when anything is left over.
std::optional<double> parseNumber(std::string_view text);

/// "1/125" or a plain number. Empty for other text or a denominator that is not above 0.
std::optional<double> parseFraction(std::string_view text);

/// A number with up to `digits` significant digits and no trailing zeros: 5.6, 0.263, 11.
std::string shortNumber(double value, int digits);

}  // namespace keyfall
