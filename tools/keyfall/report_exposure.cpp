#include "report_exposure.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "json_numbers.h"
#include "renderer/meter/ambient.h"
#include "scene/motion.h"

namespace keyfall {
namespace {

bool isMixed(const Scene& scene) { return anyFlashOn(scene) && anyContinuousOn(scene); }

bool flashes(const Light& l) { return l.kind == LightKind::flash && l.strength() > 0.0; }

std::string ambientText(const Report& report) {
    std::string text;
    for (const ProbeReading& r : report.readings) {
        const auto stops = ambientStops(report.scene, r);
        if (!stops) continue;
        text += fmt::format("{}{:.1f} ± {:.2f} {} at {}", text.empty() ? "" : ", ", std::abs(stops->value),
                            stops->interval95.half(), stops->value < 0.0 ? "under" : "over", r.name);
    }
    return text;
}

}  // namespace

const ProbeReading* subjectOf(const Report& report) { return whiteProbe(report.readings); }

bool flashDominates(const Report& report) {
    const Scene& scene = report.scene;
    if (!anyFlashOn(scene)) return false;
    if (!anyContinuousOn(scene)) return true;
    const ProbeReading* subject = subjectOf(report);
    if (subject == nullptr) return false;
    if (const auto stops = ambientStops(scene, *subject)) return flashDraws(stops->value);
    return flashExposure(scene, *subject).mean() > ambientExposure(scene, *subject).mean();
}

std::optional<double> longestFlash_s(const Scene& scene) {
    std::optional<double> longest;
    for (const Light& l : scene.lights)
        if (flashes(l))
            if (const auto t = flashDuration_s(l)) longest = std::max(longest.value_or(0.0), *t);
    return longest;
}

void putAmbient(Json& probe, const Report& report, const ProbeReading& r) {
    if (isMixed(report.scene)) put(probe, "ambient_stops", ambientStops(report.scene, r));
}

void putFlash(Json& json, const Report& report) {
    const Scene& scene = report.scene;
    if (!anyFlashOn(scene)) return;
    Json j;
    if (scene.hasCamera) {
        j["sync_s"] = scene.camera.flashSync_s;
        j["cut_share"] = flashCutShare(scene.camera.shutter_s.exact, scene.camera.flashSync_s);
    }
    j["durations"] = Json::array();
    for (const Light& l : scene.lights) {
        if (!flashes(l)) continue;
        const auto t = flashDuration_s(l);
        j["durations"].push_back({{"light", l.name}, {"t05_s", t ? Json(*t) : Json(nullptr)}});
    }
    json["flash"] = j;
}

std::string flashLines(const Report& report) {
    const Scene& scene = report.scene;
    if (!anyFlashOn(scene)) return {};
    std::string lines;
    const std::string ambient = isMixed(scene) ? ambientText(report) : "";
    if (!ambient.empty()) lines += fmt::format("{:14} {} (stops; all continuous light, against the flash)\n", "ambient", ambient);
    for (const Light& l : scene.lights)
        if (const auto t = flashDuration_s(l); t && flashes(l))
            lines += fmt::format("{:14} {} lasts 1/{:.0f} s at {} (t0.5)\n", "flash", l.name, 1.0 / *t, l.powerText);
    return lines;
}

std::vector<Warning> ambientWarnings(const Report& report) {
    std::vector<Warning> warnings;
    const Scene& scene = report.scene;
    if (!isMixed(scene)) return warnings;
    for (const ProbeReading& r : report.readings)
        if (r.aperture && !ambientStops(scene, r))
            warnings.push_back({"ambient-not-read", fmt::format("probe {}: too little {} light was found there to set ambient against flash",
                                                                r.name, flashExposure(scene, r).mean() > ambientExposure(scene, r).mean() ? "continuous" : "flash")});
    return warnings;
}

}  // namespace keyfall
