// What a command found out, and its two forms: lines for people, JSON for programs.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "interrupt.h"
#include "options.h"
#include "progress.h"
#include "renderer/meter/readings.h"
#include "renderer/photograph/clipping.h"

namespace keyfall {

struct Report {
    Report(const Scene& ofScene, const Options& options) : scene(ofScene), seed(options.seed) {}

    const Scene& scene;
    std::uint32_t seed;
    PathCounters counters;
    Stopped stopped = Stopped::no;
    std::vector<ProbeReading> readings;
    std::optional<RenderResult> picture;
    std::optional<ClippingShares> clipping;
};

/// Throws WriteError when `file` could not be written later: better before the work than after.
/// "" and "-" always can.
void requireWritable(const std::string& file);

/// Prints the lines (unless quiet or JSON goes to standard output) and writes the JSON.
void publish(const Report& report, const Options& options);

std::string textOf(const Report& report);            ///< report_text.cpp
nlohmann::ordered_json jsonOf(const Report& report); ///< report_json.cpp

/// Remarks that follow from the numbers: a missing reading, much caustic light, counters.
std::vector<Warning> warningsFromNumbers(const Report& report);

/// The spot reading named `background`, where the scene has one and it could be read.
const ProbeReading* backgroundOf(const Report& report);
/// sRGB codes of a spot reading in the straight picture.
std::array<int, 3> codesOf(const Report& report, const ProbeReading& spot);

}  // namespace keyfall
