// What `place` found, and its two forms. Not here: the search (place_search.h).
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "place_trials.h"

namespace keyfall {

struct PlaceReport {
    std::vector<VariedKey> keys;
    std::vector<Want> wants;
    std::vector<VariedValue> values;               ///< one a key
    std::vector<std::string> set;                  ///< as --set takes them
    std::vector<std::optional<Measured>> results;  ///< one a want
    bool reached = false;
    Stopped ended = Stopped::no;  ///< what cut the search short
    int evaluations = 0;
    std::size_t impossible = 0;  ///< places that could not be
    double all_s = 0.0;          ///< that the evaluations took, tables of modifiers included
    double slowest_s = 0.0;      ///< of them
    std::uint32_t edgePaths = 0;  ///< at each place of a shadow edge; 0: no target is of one

    /// Not known well enough to say whether it is reached: the first such target's text; else empty.
    std::string unsure() const;
};

std::string placeText(const PlaceReport& place, const std::string& scene);
nlohmann::ordered_json placeJson(const PlaceReport& place);

}  // namespace keyfall
