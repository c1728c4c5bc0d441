// Warnings that follow from the numbers: what a figure does not tell by itself.
#include <fmt/core.h>

#include <algorithm>

#include "report.h"

namespace keyfall {
namespace {

std::string noReadingText(const ProbeReading& r) {
    if (!r.missing) return fmt::format("probe {}: no light is on", r.probe->name);
    const auto& value = r.exposure.value;
    const auto lit = std::count_if(value.begin(), value.end(), [](double v) { return v > 0.0; });
    const auto paths = static_cast<std::uint64_t>(r.points) * kReplicates;
    if (lit == 0)
        return fmt::format("probe {}: no light found in {} paths; its reading is missing, not 0", r.probe->name, paths);
    return fmt::format("probe {}: light found in only {} of its {} replicates ({} paths), too little for a reading; it is missing, not 0",
                       r.probe->name, lit, kReplicates, paths);
}

void warnOfReading(const Report& report, const ProbeReading& r, std::vector<Warning>& warnings) {
    if (!r.aperture) {
        warnings.push_back({"no-reading", noReadingText(r)});
        return;
    }
    const double half_stops = r.stopsOver->interval95.half();
    // The interval's own width is known to 18 % (15 degrees of freedom): a fifth over is a miss.
    if (half_stops > 1.2 * report.readingTarget_stops)
        warnings.push_back({"interval-wide", fmt::format("probe {}: sure to ±{:.3f} stop after {} paths, not to the ±{:g} that was aimed at",
                                                         r.probe->name, half_stops, static_cast<std::uint64_t>(r.points) * kReplicates,
                                                         report.readingTarget_stops)});
    if (r.causticShare > 0.02)
        warnings.push_back({"caustic-light", fmt::format("probe {}: {:.0f} % of its light comes bent or mirrored from a lamp; it needs longer to settle",
                                                         r.probe->name, 100.0 * r.causticShare)});
}

void warnOfProbesLeftOut(const Report& report, std::vector<Warning>& warnings) {
    std::string names;
    for (std::size_t p = report.readings.size(); p < report.scene.probes.size(); ++p)
        names += (names.empty() ? "" : ", ") + report.scene.probes[p].name;
    if (names.empty()) return;
    warnings.push_back({"readings-cut-short", fmt::format("stopped before these probes were read: {}", names)});
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

}  // namespace

std::vector<Warning> warningsFromNumbers(const Report& report) {
    std::vector<Warning> warnings;
    for (const ProbeReading& r : report.readings) warnOfReading(report, r, warnings);
    warnOfProbesLeftOut(report, warnings);
    PathCounters all = report.counters;
    if (report.picture) all += report.picture->counters;
    warnOfPaths(all, warnings);
    if (report.exrClamped > 0)
        warnings.push_back({"exr-clamped", fmt::format("{} values of the EXR are beyond ±65504, the most that its half floats hold, and were cut to it: light is lost there, as a rule in a lamp that is in the frame",
                                                       report.exrClamped)});
    return warnings;
}

}  // namespace keyfall
