// The report's part on flash against all other light. Not here: the readings (renderer/meter).
#pragma once

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "report.h"

namespace keyfall {

/// `ambient_stops` of a probe, where both a flash and continuous light are on; null without a reading.
void putAmbient(nlohmann::ordered_json& probe, const Report& report, const ProbeReading& reading);
/// The part "flash": sync time, what a faster shutter cuts off, how long the lamps flash.
void putFlash(nlohmann::ordered_json& json, const Report& report);
std::string flashLines(const Report& report);
std::vector<Warning> ambientWarnings(const Report& report);

/// The place that speaks for the subject: the first incident or dome probe that was read.
const ProbeReading* subjectOf(const Report& report);
/// A flash that lights the subject 2 stops or more over the ambient decides how long the exposure is
/// for what moves. Common practice, no source.
bool flashDominates(const Report& report);
/// The longest flash of the lamps that are on; empty where none of them says.
std::optional<double> longestFlash_s(const Scene& scene);

}  // namespace keyfall
