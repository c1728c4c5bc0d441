// What `settings` found, and its two forms. Not here: the arithmetic (renderer/meter/settings.h).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "renderer/meter/settings_needs.h"
#include "renderer/meter/settings_rank.h"
#include "renderer/meter/settings_scene.h"
#include "report.h"

namespace keyfall {

/// Lamps put nearer (or farther), and what the meter shows there.
struct MeteredPlace {
    std::vector<double> distance_m;     ///< from the exit, one a LampNeed
    std::optional<Measured> stopsOver;  ///< of the picture there; empty: not metered, by the inverse square
};

struct SettingsReport {
    std::string probe;
    SettingsInput input;
    Setting asSet;
    std::vector<Setting> choices;          ///< within kCloseEnough_stops of the wish, best first
    std::vector<Setting> near;             ///< not so near, but better in something; without any choice one at least
    double shortWithinLimits_stops = 0.0;  ///< + short, - over, whatever is used of the limits
    std::vector<LampNeed> needs;
    std::vector<Measured> short_stops;  ///< one a need
    std::optional<OneChange> changes;   ///< where some lamp is short or over
    std::optional<MeteredPlace> place;  ///< likewise
};

/// Ready for --set: "camera.iso=200", of what the row changes.
std::vector<std::string> setOptionsOf(const SettingsInput& input, const Setting& setting);
/// Remarks on a row: a code and a sentence.
std::vector<Warning> warningsOf(const SettingsInput& input, const Setting& setting);
/// Remarks on the whole: lamps too weak or too strong, no setting within the limits.
std::vector<Warning> warningsOf(const SettingsReport& settings);
/// "depth".
const char* nameOf(Limits::Prefer prefer);

std::string textOf(const Report& report, const SettingsReport& settings);
nlohmann::ordered_json jsonOf(const Report& report, const SettingsReport& settings);

}  // namespace keyfall
