#include "report_edges.h"

#include <fmt/core.h>

#include <numbers>

#include "json_numbers.h"
#include "report.h"

namespace keyfall {
namespace {

Measured scaled(const Measured& m, double by) {
    return {m.value * by, {m.interval95.low * by, m.interval95.high * by}};
}

std::optional<Measured> width_px(const ShadowEdge& e) {
    if (!e.width_px) return {};
    return scaled(e.width10to90_m, *e.width_px / e.width10to90_m.value);
}

/// Two digits that count, for hard edges and soft ones.
std::string mm(double m) {
    const double mm = m * 1e3;
    return mm < 9.95 ? fmt::format("{:.1f} mm", mm) : fmt::format("{:.0f} mm", mm);
}

std::string depthText(const ShadowEdge& e, const std::string& light) {
    if (!e.depth_stops) return "   depth: too little light in the shade for a figure";
    std::string text = fmt::format("   depth {:.1f} stops", e.depth_stops->value);
    if (e.depthOwn_stops && std::abs(e.depthOwn_stops->value - e.depth_stops->value) >= 0.05)
        text += fmt::format(" ({} alone {:.1f})", light, e.depthOwn_stops->value);
    return text;
}

std::string lineOf(const Report& report, const ShadowEdge& e) {
    const std::string& light = report.scene.lights[e.light].name;
    std::string line =
        fmt::format("shadow edge ({})   {} ± {:.2g} mm, 10-90 %, throw {:.2g} cm (whole {}): {}", light,
                    mm(e.width10to90_m.value), e.width10to90_m.interval95.half() * 1e3, e.throw_m * 1e2,
                    mm(e.widthFull_m), wordOf(e));
    if (e.width_px) line += fmt::format("; {:.1f} px in the picture", *e.width_px);
    line += depthText(e, light) + "\n";
    line += fmt::format("{:14} {}: {} on {}", "", e.name, e.caster, e.receiver);
    if (e.edgeCount > 1) line += fmt::format("; {} separate edges along the line", e.edgeCount);
    return line + "\n";
}

Json centimetres(glm::vec3 m) {
    const auto cm = [](float x) { return std::round(static_cast<double>(x) * 1e5) * 1e-3; };
    return Json::array({cm(m.x), cm(m.y), cm(m.z)});
}

}  // namespace

const char* wordOf(const ShadowEdge& e) {
    const double ratio = e.width10to90_m.value / e.throw_m;
    if (ratio < 0.05) return "hard";
    if (ratio < 0.2) return "medium";
    return ratio < 0.5 ? "soft" : "very soft";
}

std::string edgeLines(const Report& report) {
    std::string lines;
    if (report.edges)
        for (const ShadowEdge& e : report.edges->edges) lines += lineOf(report, e);
    return lines;
}

nlohmann::ordered_json edgesJson(const Report& report) {
    Json all = Json::array();
    for (const ShadowEdge& e : report.edges->edges) {
        Json j;
        j["name"] = e.name;
        j["light"] = report.scene.lights[e.light].name;
        j["caster"] = e.caster;
        j["receiver"] = e.receiver;
        put(j, "width_10_90_mm", scaled(e.width10to90_m, 1e3));
        j["width_full_mm"] = e.widthFull_m * 1e3;
        j["throw_cm"] = e.throw_m * 1e2;
        j["word"] = wordOf(e);
        put(j, "width_px", width_px(e));
        put(j, "depth_stops", e.depth_stops);
        put(j, "depth_own_stops", e.depthOwn_stops);
        j["edge_count"] = e.edgeCount;
        j["crossing_deg"] = e.crossing_rad * 180.0 / std::numbers::pi;
        j["from_cm"] = centimetres(e.from_m);
        j["to_cm"] = centimetres(e.to_m);
        all.push_back(j);
    }
    return all;
}

}  // namespace keyfall
