// One table of a scene file, checked against its section of the schema; typed look-up afterwards.
// Not here: conversion to SI (the read_*.cpp of each section).
#pragma once

#include <glm/glm.hpp>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "scene/diagnostics.h"
#include "scene/read_value.h"
#include "scene/scene.h"
#include "scene/schema.h"

namespace keyfall {

/// Where checks write: messages, and the defaults that were really used.
struct Notes {
    Diagnostics messages;
    std::vector<FilledDefault> defaults;
    std::map<const Key*, Value> parsedFallbacks;
};

/// A key of the file, for messages about its value: "light.key.power", and where the value stands.
struct Spot {
    Place place;
    std::string label;
};

class Fields {
  public:
    /// Reports every mistake of the table at once: unknown keys, wrong types and ranges, missing
    /// keys, keys of later versions. `notes` and `table` must outlive this object.
    Fields(Notes& notes, std::string_view section, std::string label, const Value& table);

    const Value& table() const { return *table_; }
    const std::string& label() const { return label_; }
    const Place& place() const { return table_->place; }
    Place placeOf(std::string_view key) const;  ///< of its value, else of the table
    bool given(std::string_view key) const;     ///< written, sound or not
    bool sound(std::string_view key) const;     ///< written and without a mistake
    bool bad(std::string_view key) const { return given(key) && !sound(key); }
    bool allSound() const { return allSound_; }

    // Values of sound keys in the file's units, else the schema's fallback, which is then recorded
    // as a default. A key that was given wrongly yields its fallback (or 0, "", false) quietly.
    double number(std::string_view key) const;
    std::string text(std::string_view key) const;
    bool flag(std::string_view key) const;
    glm::dvec2 pair(std::string_view key) const;
    glm::dvec3 triple(std::string_view key) const;
    std::vector<double> numbers(std::string_view key) const;
    double seconds(std::string_view key) const;     ///< as written
    double powerStops(std::string_view key) const;  ///< under full
    /// The value itself: nullptr when the key is not sound and has no fallback.
    const Value* value(std::string_view key) const;
    /// A nested table. Not checked: that the key is sound and a table.
    const Fields& nested(std::string_view key) const { return *nested_.at(std::string(key)); }

    Spot spot(std::string_view key) const {
        return {placeOf(key), label_ + "." + std::string(key)};
    }
    /// An error at the key's value: `light.key.power: found; allowed; fix`.
    void error(std::string_view key, Complaint complaint) const;
    void recordDefault(std::string_view key, std::string value) const;

    /// Reports two of the keys given together. True when at most one is given.
    bool atMostOne(const std::vector<std::string_view>& keys) const;

  private:
    void checkMember(const Member& member);
    void checkMissing();

    Notes* notes_;
    std::string section_;
    std::string label_;
    const Value* table_;
    std::set<std::string, std::less<>> sound_;
    mutable std::set<std::string, std::less<>> recorded_;
    std::map<std::string, std::unique_ptr<Fields>> nested_;
    bool allSound_ = true;
};

}  // namespace keyfall
