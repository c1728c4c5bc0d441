// What a command found out, and its two forms: lines for people, JSON for programs.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "interrupt.h"
#include "options.h"
#include "progress.h"
#include "renderer/meter/readings.h"
#include "renderer/meter/separation.h"
#include "renderer/meter/shadow_edge.h"
#include "renderer/photograph/clipping.h"
#include "report_mirrored.h"
#include "report_sensor.h"

namespace keyfall {

struct LightColours;

struct Report {
    Report(const Scene& ofScene, const Options& options)
        : scene(ofScene), seed(options.seed), readingTarget_stops(keyfall::readingTarget_stops(options)) {}

    const Scene& scene;
    std::uint32_t seed;
    double readingTarget_stops;   ///< half width of the interval that a reading aims at
    PathCounters counters;
    Stopped stopped = Stopped::no;
    std::vector<ProbeReading> readings;     ///< cut short: the first of the scene's probes alone
    std::optional<RenderResult> picture;    ///< empty: no whole pass, or a command without picture
    std::optional<ClippingShares> clipping;
    std::optional<Measured> evenness_stops; ///< of the backdrop in the picture
    std::optional<Seen> seen;               ///< of a scene with a camera
    std::optional<ClippedPixels> clippedCoarsely;  ///< pixel by pixel beside `seen`: of a small picture
    std::optional<ShadowEdges> edges;       ///< cast shadows; empty: not measured
    std::optional<Separation> separation;   ///< of the product from the backdrop in the picture
    std::optional<double> fullPixels;       ///< share of the picture where a sensor pixel is full
    std::optional<DetailReport> detail;     ///< of `render --detail`
    std::size_t exrClamped = 0;             ///< values of the EXR beyond half floats
    std::shared_ptr<const LightColours> colours;  ///< readColours (report_colour.h)
};

/// Prints the lines (unless quiet or JSON goes to standard output) and writes the JSON.
void publish(const Report& report, const Options& options);

std::string textOf(const nlohmann::ordered_json& json);
std::string textOf(const Report& report);            ///< report_text.cpp
nlohmann::ordered_json jsonOf(const Report& report); ///< report_json.cpp

/// "1/125 s", "2 s".
std::string shutterText(double asWritten_s);

/// Remarks that follow from the numbers: a missing or unsure reading, much caustic light, counters
/// (report_warnings.cpp).
std::vector<Warning> warningsFromNumbers(const Report& report);

/// The time was up before every probe was read as surely as was asked for.
bool readingsCutByTime(const Report& report);
/// Some reading is less sure than it aimed at, or missing.
bool readingsShortOfTarget(const Report& report);
/// The interval's own width is known to 18 % (15 degrees of freedom): a fifth over is a miss.
bool isUnsure(const Report& report, const ProbeReading& reading);

/// The spot reading named `background`, where the scene has one and it could be read.
const ProbeReading* backgroundOf(const Report& report);
/// sRGB codes of a spot reading in the straight picture.
std::array<int, 3> codesOf(const Report& report, const ProbeReading& spot);

}  // namespace keyfall
