// Warnings that follow from the numbers: what a figure does not tell by itself.
#include <fmt/core.h>

#include <algorithm>

#include "report.h"
#include "report_sharp.h"
#include "report_colour.h"
#include "report_exposure.h"
#include "report_motion.h"

namespace keyfall {
namespace {

std::string noReadingText(const ProbeReading& r) {
    if (!r.missing) return fmt::format("probe {}: no light is on", r.name);
    const auto& value = r.exposure.value;
    const auto lit = std::count_if(value.begin(), value.end(), [](double v) { return v > 0.0; });
    const auto paths = static_cast<std::uint64_t>(r.points) * kReplicates;
    if (lit == 0)
        return fmt::format("probe {}: no light found in {} paths; its reading is missing, not 0", r.name, paths);
    return fmt::format("probe {}: light found in only {} of its {} replicates ({} paths), too little for a reading; it is missing, not 0",
                       r.name, lit, kReplicates, paths);
}

void warnOfReading(const Report& report, const ProbeReading& r, std::vector<Warning>& warnings) {
    if (!r.aperture) {
        warnings.push_back({"no-reading", noReadingText(r)});
        return;
    }
    const double half_stops = r.stopsOver->interval95.half();
    if (isUnsure(report, r))
        warnings.push_back({"interval-wide", fmt::format("probe {}: sure to ±{:.3f} stop after {} paths, not to the ±{:.3g} that was aimed at{}",
                                                         r.name, half_stops, static_cast<std::uint64_t>(r.points) * kReplicates,
                                                         report.readingTarget_stops, r.timeIsUp ? "; the time was up" : "")});
    if (r.causticShare > 0.02)
        warnings.push_back({"caustic-light", fmt::format("probe {}: {:.0f} % of its light comes bent or mirrored from a lamp; it needs longer to settle",
                                                         r.name, 100.0 * r.causticShare)});
}

void warnOfProbesLeftOut(const Report& report, std::vector<Warning>& warnings) {
    std::string names;
    for (std::size_t p = report.readings.size(); p < report.scene.probes.size(); ++p)
        names += (names.empty() ? "" : ", ") + report.scene.probes[p].name;
    if (names.empty()) return;
    warnings.push_back({"readings-cut-short", fmt::format("{} these probes were read: {}", report.stopped == Stopped::interrupted ? "stopped before" : "the time was up before", names)});
}

void warnOfPaths(const PathCounters& all, std::vector<Warning>& warnings) {
    const auto paths = static_cast<double>(all.paths);
    if (static_cast<double>(all.guardStops) > 1e-6 * paths)
        warnings.push_back({"paths-ended", fmt::format("{} of {} paths were ended after 1000 surfaces; a little light is lost", all.guardStops, all.paths)});
    if (static_cast<double>(all.mediumMisses) > 1e-3 * paths)
        warnings.push_back({"glass-not-closed", fmt::format("{} rays left a glass solid that they never entered; is its mesh closed, or is the camera or a probe inside it?", all.mediumMisses)});
    // A count of paths, not of energy: how much light each would have carried on is not known.
    if (static_cast<double>(all.clipped) > 1e-3 * paths)
        warnings.push_back({"paths-below-surface", fmt::format("{:.1f} % of the paths ended because a smoothed normal sent them below the mesh's facets; what light they would have carried on is missing. A finer mesh, or a smaller `smooth`, helps",
                                                               100.0 * static_cast<double>(all.clipped) / paths)});
}

void warnOfSides(const Report& report, std::vector<Warning>& warnings) {
    for (const ProbeReading& r : report.readings)
        if (r.name != r.probe->name)
            warnings.push_back({"sides-by-reading", fmt::format("probe {}: it stands where `check` expects {}; read with all the light there is, this side is the {} one",
                                                                r.name, r.probe->name, r.name == "lit-side" ? "brighter" : "darker")});
}

void warnOfWhite(const Report& report, std::vector<Warning>& warnings) {
    if (!report.scene.hasCamera || !std::holds_alternative<Camera::Auto>(report.scene.camera.whiteBalance)) return;
    if (whiteProbe(report.readings) != nullptr) return;
    warnings.push_back({"white-balance-not-found", "white_balance = \"auto\" needs an incident or dome probe with a reading, and there is none: the picture is balanced for D65 (about 6500 K)"});
}

}  // namespace

bool isUnsure(const Report& report, const ProbeReading& r) {
    return r.stopsOver && r.stopsOver->interval95.half() > 1.2 * report.readingTarget_stops;
}

bool readingsShortOfTarget(const Report& report) {
    return std::any_of(report.readings.begin(), report.readings.end(),
                       [&](const ProbeReading& r) { return r.missing || isUnsure(report, r); });
}

bool readingsCutByTime(const Report& report) {
    return report.readings.size() < report.scene.probes.size() ||
           std::any_of(report.readings.begin(), report.readings.end(), [](const ProbeReading& r) { return r.timeIsUp; });
}

std::vector<Warning> warningsFromNumbers(const Report& report) {
    std::vector<Warning> warnings;
    for (const ProbeReading& r : report.readings) warnOfReading(report, r, warnings);
    warnOfProbesLeftOut(report, warnings);
    warnOfSides(report, warnings);
    if (report.edges) warnings.insert(warnings.end(), report.edges->warnings.begin(), report.edges->warnings.end());
    warnOfWhite(report, warnings);
    warnOfSharpness(report, warnings);
    warnOfGear(report, warnings);
    for (const auto& part : {ambientWarnings(report), motionWarnings(report), colourWarnings(report)})
        warnings.insert(warnings.end(), part.begin(), part.end());
    if (report.scene.hasCamera) warnOfSensor(report, warnings);
    PathCounters all = report.counters;
    if (report.picture) all += report.picture->counters;
    warnOfPaths(all, warnings);
    if (report.exrClamped > 0)
        warnings.push_back({"exr-clamped", fmt::format("{} values of the EXR are beyond ±65504, the most that its half floats hold, and were cut to it: light is lost there, as a rule in a lamp that is in the frame",
                                                       report.exrClamped)});
    return warnings;
}

}  // namespace keyfall
