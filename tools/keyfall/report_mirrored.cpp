#include "report_mirrored.h"

#include <fmt/core.h>

#include <algorithm>

#include "json_numbers.h"
#include "report.h"

namespace keyfall {
namespace {

constexpr double kLeastMirrored_percent = 0.1;  ///< of a product's visible surface: below, nobody would see it

const char* wordOf(const Scene& scene, std::uint32_t object) {
    if (const Item* item = itemOf(scene, object)) return nameOf(item->kind);
    return object == kNoObject ? "dark" : "light";
}

/// "light key (bowl-18, off)", "board fill".
std::string gearText(const Scene& scene, std::uint32_t object) {
    std::string text = fmt::format("{} {}", wordOf(scene, object), nameOfObject(scene, object));
    if (object >= scene.lights.size()) return text;
    const Light& light = scene.lights[object];
    std::string more = light.body == nullptr ? "" : light.modifier;
    if (!(light.strength() > 0.0)) more += more.empty() ? "off" : ", off";
    return more.empty() ? text : text + " (" + more + ")";
}

/// Thirds of the frame, as one points on a print.
std::string placeText(glm::dvec2 middle) {
    const char* across = middle.x < 1.0 / 3.0 ? "left" : middle.x > 2.0 / 3.0 ? "right" : "";
    const char* down = middle.y < 1.0 / 3.0 ? "top" : middle.y > 2.0 / 3.0 ? "bottom" : "";
    if (*across == 0 && *down == 0) return "in its middle";
    return fmt::format("at the {}{}{}", down, *across != 0 && *down != 0 ? " " : "", across);
}

std::string faceText(const Scene& scene, const MirrorFace& face) {
    return nameOfObject(scene, face.product) + "/" + scene.materials[face.material].name;
}

}  // namespace

Seen lookAround(const Stage& stage) {
    const glm::dvec2 sensor_m = stage.scene().camera.sensor_m;
    const glm::dvec2 looks = glm::round(sensor_m * (kLooks / std::max(sensor_m.x, sensor_m.y)));
    Seen seen;
    seen.visible = lookThroughLens(stage, std::max(1, static_cast<int>(looks.x)), std::max(1, static_cast<int>(looks.y)));
    seen.mirrored = lookMirrored(stage, seen.visible);
    seen.productDepth = visibleProductDepth(stage, seen.visible);
    return seen;
}

nlohmann::ordered_json mirrorsJson(const Report& report) {
    const Scene& scene = report.scene;
    Json faces = Json::array();
    for (const MirrorFace& f : mirrorTable(report.seen->visible, report.seen->mirrored)) {
        Json face = {{"area", faceText(scene, f)},
                     {"product", nameOfObject(scene, f.product)},
                     {"material", scene.materials[f.material].name},
                     {"roughness", scene.materials[f.material].roughness},
                     {"picture_percent", f.picture_percent},
                     {"mirrored", Json::array()}};
        for (const MirrorShare& m : f.mirrored) {
            Json one = {{"name", nameOfObject(scene, m.object)}, {"kind", wordOf(scene, m.object)}, {"share_percent", m.share_percent}};
            if (m.object < scene.lights.size()) one["luminous_percent"] = m.luminous_percent;
            face["mirrored"].push_back(one);
        }
        faces.push_back(face);
    }
    return faces;
}

nlohmann::ordered_json inFrameJson(const Report& report) {
    Json gear = Json::array();
    for (const Sighting& s : gearInFrame(report.scene, report.seen->visible))
        gear.push_back({{"name", nameOfObject(report.scene, s.object)},
                        {"kind", wordOf(report.scene, s.object)},
                        {"picture_percent", 100.0 * s.share}});
    return gear;
}

std::string mirrorLines(const Report& report) {
    const Scene& scene = report.scene;
    std::string lines;
    for (const MirrorFace& f : mirrorTable(report.seen->visible, report.seen->mirrored)) {
        lines += fmt::format("{:14} {} mirrors", lines.empty() ? "glossy faces" : "", faceText(scene, f));
        const char* comma = "";
        for (const MirrorShare& m : f.mirrored) {
            if (m.share_percent < 0.05) continue;
            const bool itself = m.object == f.product;
            lines += fmt::format("{} {} {:.1f} %", comma, itself ? "itself" : nameOfObject(scene, m.object), m.share_percent);
            if (m.object < scene.lights.size()) lines += fmt::format(" (its light {:.1f})", m.luminous_percent);
            comma = ",";
        }
        lines += "\n";
    }
    return lines;
}

void warnOfGear(const Report& report, std::vector<Warning>& warnings) {
    if (!report.seen) return;
    const Scene& scene = report.scene;
    for (const Sighting& s : gearInFrame(scene, report.seen->visible))
        warnings.push_back({"object-in-frame", fmt::format("{} is in the frame: {:.2g} % of the picture, {}",
                                                           gearText(scene, s.object), 100.0 * s.share, placeText(s.middle))});
    for (const MirroredGear& m : gearMirrored(scene, report.seen->visible, report.seen->mirrored)) {
        if (m.gear.share_percent < kLeastMirrored_percent) continue;
        warnings.push_back({"object-mirrored", fmt::format("{} is mirrored in {}: {:.1f} % of its visible surface{}",
                                                           gearText(scene, m.gear.object), nameOfObject(scene, m.product),
                                                           m.gear.share_percent, m.roughness >= 0.2 ? ", blurred by its satin" : "")});
    }
}

}  // namespace keyfall
