// Keys that change from form to form of a set: `--vary KEY=10..60/6`, `KEY=10,15,20`, and for
// `place` bounds `KEY=10..60`. Not here: reading the set in that form (set_reader.h).
#pragma once

#include <string>
#include <vector>

#include "scene/key_path.h"

namespace keyfall {

struct Options;

/// One value of a key.
struct VariedValue {
    std::string text;  ///< as after KEY= of --set: "27.4", "1/4+0.3", "softbox-60x60"
    double x = 0.0;    ///< on the key's own scale; of a text its number in the list
};

/// A key over a list, or between bounds.
struct VariedKey {
    std::string key;  ///< as written: "board.fill.around.distance"
    KeyFacts facts;
    bool isNumber = true;  ///< false: a list of words
    std::vector<VariedValue> values;
    double low = 0.0, high = 0.0;  ///< of bounds, on the key's scale

    /// Powers run in stops, times in stops of time (log2 of seconds), anything else as it is
    /// written.
    bool inStops() const { return facts.type == Type::power || facts.type == Type::time; }
    /// At `x` on the key's scale, rounded to what a person would set: the text is what is read.
    VariedValue at(double x) const;
    /// KEY=VALUE for --set, with the numbers beside the one that changes.
    std::string setOption(const VariedValue& value) const;
    /// "cm", "stops under full", "degrees"; "" where the scale has none.
    std::string unit() const;
};

inline constexpr std::size_t kMostForms = 1000;  ///< rows of a series

/// `--vary` of `series`: a list, or a range with its number of values. Throws CommandLineError.
VariedKey parseVaried(const std::string& text, const Options& options);
/// `--vary` of `place`: bounds. Throws CommandLineError.
VariedKey parseBounds(const std::string& text, const Options& options);

}  // namespace keyfall
