// Figures in a JSON report: each with its interval, a missing one null, never 0.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "renderer/meter/readings.h"
#include "renderer/transport/run.h"

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

/// Why the work ended early, as every report says it; null: it did not.
inline Json stoppedJson(Stopped stopped) {
    switch (stopped) {
        case Stopped::no: return nullptr;
        case Stopped::time: return "time";
        case Stopped::interrupted: return "interrupted";
        case Stopped::noise: return "noise-not-reached";
    }
    return nullptr;
}

}  // namespace keyfall
