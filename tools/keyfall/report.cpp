#include "report.h"

#include <fmt/core.h>
#include <unistd.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "renderer/photograph/view.h"
#include "renderer/photograph/write_file.h"

namespace keyfall {

void requireWritable(const std::string& file) {
    if (file.empty() || file == "-") return;
    const std::filesystem::path path(file);
    const std::filesystem::path folder = path.has_parent_path() ? path.parent_path() : ".";
    if (!std::filesystem::is_directory(folder)) throw WriteError(path, "there is no folder " + folder.string());
    if (std::filesystem::is_directory(path)) throw WriteError(path, "this is a folder");
    if (access(folder.c_str(), W_OK) != 0) throw WriteError(path, "the folder is not writable");
}

void publish(const Report& report, const Options& options) {
    clearProgressLine();
    const bool jsonOnStdout = options.json == "-";
    if (!options.quiet && !jsonOnStdout) fmt::print("{}", textOf(report));
    if (options.json.empty()) return;
    const std::string json = jsonOf(report).dump(2) + "\n";
    if (jsonOnStdout) {
        fmt::print("{}", json);
        return;
    }
    writeWhole(options.json, [&](const std::filesystem::path& part) {
        std::ofstream file(part, std::ios::binary);
        file << json;
        file.close();
        if (!file) throw std::runtime_error("the disk took only part of it");
    });
}

std::vector<Warning> warningsFromNumbers(const Report& report) {
    std::vector<Warning> warnings;
    for (const ProbeReading& r : report.readings) {
        if (!r.aperture)
            warnings.push_back({"no-reading", fmt::format("probe {}: no light arrives there; its reading is missing, not 0", r.probe->name)});
        if (r.causticShare > 0.02)
            warnings.push_back({"caustic-light", fmt::format("probe {}: {:.0f} % of its light comes bent or mirrored from a lamp; it needs longer to settle", r.probe->name, 100.0 * r.causticShare)});
    }
    PathCounters all = report.counters;
    if (report.picture) all += report.picture->counters;
    if (static_cast<double>(all.guardStops) > 1e-6 * static_cast<double>(all.paths))
        warnings.push_back({"paths-ended", fmt::format("{} of {} paths were ended after 1000 surfaces; a little light is lost", all.guardStops, all.paths)});
    if (static_cast<double>(all.mediumMisses) > 1e-3 * static_cast<double>(all.paths))
        warnings.push_back({"glass-not-closed", fmt::format("{} rays left a glass solid that they never entered; is its mesh closed?", all.mediumMisses)});
    return warnings;
}

const ProbeReading* backgroundOf(const Report& report) {
    for (const ProbeReading& r : report.readings)
        if (r.probe->kind == ProbeKind::spot && r.probe->name == "background" && r.pictureStopsOver) return &r;
    return nullptr;
}

std::array<int, 3> codesOf(const Report& report, const ProbeReading& spot) {
    const Scene& scene = report.scene;
    return srgbCodesOfXyz(spot.xyz, pictureFactor(scene.camera),
                          cameraWhite(scene.camera, scene.lights, automaticWhite(report.readings)));
}

}  // namespace keyfall
