#include "report.h"

#include <fmt/core.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "renderer/photograph/view.h"
#include "renderer/photograph/write_file.h"

namespace keyfall {

void publish(const Report& report, const Options& options) {
    clearProgressLine();
    const bool jsonOnStdout = options.json == "-";
    if (!options.quiet && !jsonOnStdout) fmt::print("{}", textOf(report));
    if (options.json.empty()) return;
    // A file name need not be UTF-8, and JSON has to be: such bytes become U+FFFD.
    const std::string json =
        jsonOf(report).dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
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
