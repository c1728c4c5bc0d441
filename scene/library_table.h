// Typed look at the keys of one definition. Only for library_*.cpp.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "scene/library_definitions.h"

namespace keyfall {

inline constexpr double kMetrePerCm = 0.01;

struct DefinitionTable {
    const Value& table;
    std::filesystem::path directory;

    /// All of these are empty when the key is missing and throw DefinitionError on a wrong type.
    std::optional<double> number(const char* key) const;
    std::optional<bool> flag(const char* key) const;
    std::optional<std::string> text(const char* key) const;
    std::optional<std::vector<double>> numbers(const char* key) const;
    std::optional<double> time_s(const char* key) const;
    std::optional<double> power_stops(const char* key) const;
    /// [r, g, b] linear Rec. 709, or "#1f4d66", as a reflectance in bands.
    std::optional<Bands> colour(const char* key) const;
    /// A number 0..1 or a CSV file.
    std::optional<Bands> factor(const char* key) const;

    std::filesystem::path file(const std::string& written) const { return directory / written; }
    [[noreturn]] void fail(const char* key, const std::string& problem) const;
};

}  // namespace keyfall
