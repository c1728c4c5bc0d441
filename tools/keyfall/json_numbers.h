// Figures in a JSON report: each with its interval, a missing one null, never 0.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "renderer/meter/readings.h"

namespace keyfall {

using Json = nlohmann::ordered_json;

inline Json number(double x) { return std::isfinite(x) ? Json(x) : Json(nullptr); }
inline Json pair(const Interval& i) { return Json::array({number(i.low), number(i.high)}); }

inline void put(Json& object, const std::string& key, const Measured& m) {
    object[key] = number(m.value);
    object[key + "_interval95"] = pair(m.interval95);
}
inline void putNull(Json& object, const std::string& key) {
    object[key] = nullptr;
    object[key + "_interval95"] = nullptr;
}
inline void put(Json& object, const std::string& key, const std::optional<Measured>& m) {
    if (m) put(object, key, *m);
    else putNull(object, key);
}
inline void put(Json& object, const std::string& key, const Reading& r) { put(object, key, measured(r)); }

}  // namespace keyfall
