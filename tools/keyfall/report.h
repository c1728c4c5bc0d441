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
    Report(const Scene& ofScene, const Options& options)
        : scene(ofScene), seed(options.seed), readingTarget_stops(qualityOf(options.quality).reading_stops) {}

    const Scene& scene;
    std::uint32_t seed;
    double readingTarget_stops;   ///< half width of the interval that a reading aims at
    PathCounters counters;
    Stopped stopped = Stopped::no;
    std::vector<ProbeReading> readings;     ///< interrupted: the first of the scene's probes alone
    std::optional<RenderResult> picture;    ///< empty: no whole pass, or a command without picture
    std::optional<ClippingShares> clipping;
    std::size_t exrClamped = 0;             ///< values of the EXR beyond half floats
};

/// Prints the lines (unless quiet or JSON goes to standard output) and writes the JSON.
void publish(const Report& report, const Options& options);

std::string textOf(const Report& report);            ///< report_text.cpp
nlohmann::ordered_json jsonOf(const Report& report); ///< report_json.cpp

/// Remarks that follow from the numbers: a missing or unsure reading, much caustic light, counters
/// (report_warnings.cpp).
std::vector<Warning> warningsFromNumbers(const Report& report);

/// The spot reading named `background`, where the scene has one and it could be read.
const ProbeReading* backgroundOf(const Report& report);
/// sRGB codes of a spot reading in the straight picture.
std::array<int, 3> codesOf(const Report& report, const ProbeReading& spot);

}  // namespace keyfall
