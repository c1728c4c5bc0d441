// A lamp's figures as JSON: with units and intervals. Not here: what they mean (README).
#include <cmath>
#include <numbers>

#include "json_numbers.h"
#include "lamp_report.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

constexpr double kDegrees = 180.0 / std::numbers::pi;

Measured times(Measured m, double factor) {
    return {factor * m.value, {factor * m.interval95.low, factor * m.interval95.high}};
}
std::optional<Measured> times(const std::optional<Measured>& m, double factor) {
    return m ? std::optional(times(*m, factor)) : std::nullopt;
}

/// Light that was looked for and not found is missing, not 0.
std::optional<Measured> found(const std::optional<Measured>& m, double factor) {
    return m && m->value != 0.0 ? std::optional(times(*m, factor)) : std::nullopt;
}

void putAngles(Json& j, const std::string& name, const LampAngle& angle) {
    put(j, name + "_angle_deg", times(angle.mean_rad, kDegrees));
    put(j, name + "_angle_width_deg", times(angle.x_rad, kDegrees));
    put(j, name + "_angle_height_deg", times(angle.y_rad, kDegrees));
}

/// Of a flash whose energy is known: N times d, from the intensity on the axis.
std::optional<Measured> guideNumberOf(const LampReport& r) {
    if (r.kind != LightKind::flash || r.isPerThousand || !(r.figures.axis_perSr.value > 0.0)) return {};
    const auto number = [&](double intensity_perSr) { return guideNumber_m(r.flux * std::max(0.0, intensity_perSr)); };
    const Measured& axis = r.figures.axis_perSr;
    return Measured{number(axis.value), {number(axis.interval95.low), number(axis.interval95.high)}};
}

void putFlux(Json& j, const LampReport& r) {
    const LampFigures& f = r.figures;
    j["flux_in"] = number(r.flux);
    put(j, "flux_out", times(f.out, r.flux));
    j["flux_out_straight"] = number(r.flux * f.straight);
    j["flux_out_scattered"] = number(r.flux * f.scattered);
    put(j, "absorbed", times(f.absorbed, r.flux));
    put(j, "flux_metered", times(f.metered, r.flux));
    put(j, "efficiency", f.out);
}

void putColour(Json& j, const std::optional<LampColour>& c) {
    put(j, "colour_temperature", c ? std::optional(c->temperature_K) : std::nullopt);
    put(j, "duv", c ? std::optional(c->duv) : std::nullopt);
    put(j, "shift_mired", c ? std::optional(c->shift_mired) : std::nullopt);
    j["bare_colour_temperature"] = c ? number(c->bareTemperature_K) : Json(nullptr);
    j["bare_duv"] = c ? number(c->bareDuv) : Json(nullptr);
}

Json lampJson(const LampReport& r) {
    const LampFigures& f = r.figures;
    const LampUnits unit = unitsOf(r.kind);
    Json j;
    j["light"] = r.light;
    j["modifier"] = r.modifier;
    j["kind"] = r.kind == LightKind::flash ? "flash" : "continuous";
    j["per_1000"] = r.isPerThousand;
    j["gels"] = r.gels;
    j["units"] = {{"flux", unit.flux}, {"intensity", unit.intensity}, {"illuminance", unit.illuminance}};
    putFlux(j, r);
    put(j, "axis_cd", found(f.axis_perSr, r.flux));
    j["table_noise"] = f.tableNoise ? number(*f.tableNoise) : Json(nullptr);
    put(j, "axis_traced_cd", found(f.tracedAxis_perSr, r.flux));
    j["bare_axis_cd"] = f.bareAxis_perSr ? number(r.flux * *f.bareAxis_perSr) : Json(nullptr);
    put(j, "gain_stops", f.gain_stops);
    putAngles(j, "beam", f.beam);
    putAngles(j, "field", f.field);
    put(j, "at_1m", found(f.at1m_perM2, r.flux));
    put(j, "guide_number", guideNumberOf(r));
    put(j, "evenness_stops", f.evenness_stops);
    putColour(j, f.colour);
    j["ies_flux"] = r.iesFlux ? number(*r.iesFlux) : Json(nullptr);
    j["photons"] = f.photons;
    return j;
}

}  // namespace

nlohmann::ordered_json jsonOf(const LampReport& r) {
    Json j = {{"program", "keyfall"}, {"schema", 1}, {"version", KEYFALL_VERSION}};
    j["scene"] = r.scene.empty() ? Json(nullptr) : Json(r.scene);
    j["seed"] = r.seed;
    j["stopped"] = nullptr;
    j["conventions"] = {{"C", kMeterC_flat}};
    j["lamp"] = lampJson(r);
    j["safety"] = safetyLines(r);
    j["warnings"] = Json::array();
    for (const Warning& w : warningsOf(r)) j["warnings"].push_back({{"code", w.code}, {"text", w.text}});
    return j;
}

}  // namespace keyfall
