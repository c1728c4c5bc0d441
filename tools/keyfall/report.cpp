#include "report.h"

#include <nlohmann/json.hpp>

#include "outputs.h"
#include "renderer/photograph/view.h"

namespace keyfall {

std::string textOf(const nlohmann::ordered_json& json) {
    // A file name need not be UTF-8, and JSON has to be: such bytes become U+FFFD.
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

void publish(const Report& report, const Options& options) {
    clearProgressLine();
    if (!options.quiet && options.json != "-") writeStandardOutput(textOf(report));
    if (!options.json.empty()) writeText(options.json, textOf(jsonOf(report)));
}

const ProbeReading* backgroundOf(const Report& report) {
    for (const ProbeReading& r : report.readings)
        if (report.scene.hasCamera && r.probe->kind == ProbeKind::spot && r.name == "background" && r.pictureStopsOver) return &r;
    return nullptr;
}

std::array<int, 3> codesOf(const Report& report, const ProbeReading& spot) {
    const Scene& scene = report.scene;
    return srgbCodesOfXyz(spot.xyz, pictureFactor(scene.camera),
                          cameraWhite(scene.camera, scene.lights, automaticWhite(report.readings)));
}

}  // namespace keyfall
