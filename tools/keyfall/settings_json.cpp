// `settings` as JSON: the report of `meter` and a part "settings" (README, "Camera settings").
#include "json_numbers.h"
#include "scene/photo.h"
#include "settings_report.h"

namespace keyfall {
namespace {

Json warningsJson(const std::vector<Warning>& warnings) {
    Json list = Json::array();
    for (const Warning& w : warnings) list.push_back({{"code", w.code}, {"text", w.text}});
    return list;
}

void putCosts(Json& j, const SettingsInput& input, const Setting& s) {
    const SettingCosts& c = s.costs;
    j["depth_cm"] = number(c.depth_m * 1e2);
    j["focus_cm"] = number(focusOf_m(input, s) * 1e2);
    j["sharp_depth_share"] = c.sharpDepthShare ? Json(*c.sharpDepthShare) : Json(nullptr);
    j["frames"] = c.frames > 0 && input.subject_m ? Json(c.frames) : Json(nullptr);
    j["airy_um"] = c.airy_m * 1e6;
    j["snr_db"] = number(c.snr_dB);
    j["raw_over_grey_stops"] = number(c.rawOverGrey_stops);
    j["light_time_s"] = c.drawing.time_s ? Json(*c.drawing.time_s) : Json(nullptr);
    j["light_time"] = c.drawing.flash ? "flash" : "shutter";
    j["motion_px"] = c.motion_px ? number(*c.motion_px) : Json(nullptr);
    if (c.ghost_px) j["ghost_px"] = number(*c.ghost_px);
    put(j, "ambient_stops", ambientOf(input, s));
}

Json settingJson(const SettingsInput& input, const Setting& s) {
    Json j;
    j["aperture"] = s.aperture.asWritten;
    j["shutter_s"] = s.shutter_s.exact;
    j["iso"] = s.iso.asWritten;
    j["power"] = Json::object();
    for (std::size_t l = 0; l < input.lights.size(); ++l)
        if (input.lights[l].fullFlux > 0.0)
            j["power"][input.lights[l].name] = canonicalPower(s.power_stops[l]);
    put(j, "picture_stops_over", stopsOverOf(input, s));
    const Measured meter = meterApertureOf(input, s);
    put(j, "aperture_for_correct_exposure", meter);
    j["reading"] = apertureReading(meter.value);
    putCosts(j, input, s);
    j["set"] = setOptionsOf(input, s);
    j["warnings"] = warningsJson(warningsOf(input, s));
    return j;
}

/// The one value that alone would do; null: none does.
template <class Value>
Json valueOf(const std::optional<Setting>& s, Value value) {
    return s ? Json(value(*s)) : Json(nullptr);
}

Json remediesJson(const SettingsReport& r) {
    Json j;
    j["aperture"] = valueOf(r.changes->aperture, [](const Setting& s) { return s.aperture.asWritten; });
    j["shutter_s"] = valueOf(r.changes->shutter, [](const Setting& s) { return s.shutter_s.exact; });
    j["iso"] = valueOf(r.changes->iso, [](const Setting& s) { return s.iso.asWritten; });
    j["distance_cm"] = Json::object();
    for (std::size_t n = 0; n < r.needs.size(); ++n)
        j["distance_cm"][r.input.lights[r.needs[n].light].name] = number(r.place->distance_m[n] * 1e2);
    put(j, "distance_picture_stops_over", r.place->stopsOver);
    return j;
}

}  // namespace

nlohmann::ordered_json jsonOf(const Report& report, const SettingsReport& r) {
    Json j;
    j["probe"] = r.probe;
    j["prefer"] = Json::array();
    for (const Limits::Prefer p : preferenceOf(r.input.limits)) j["prefer"].push_back(nameOf(p));
    j["as_set"] = settingJson(r.input, r.asSet);
    j["choices"] = Json::array();
    for (const Setting& s : r.choices) j["choices"].push_back(settingJson(r.input, s));
    j["nearest"] = r.choices.empty() ? settingJson(r.input, r.near.front()) : Json(nullptr);
    j["near"] = Json::array();
    for (const Setting& s : r.near) j["near"].push_back(settingJson(r.input, s));
    j["short_within_limits_stops"] = number(r.shortWithinLimits_stops);
    for (const char* part : {"short_by_stops", "short_by_stops_interval95", "over_by_stops",
                             "least_lumen_seconds", "least_lumens"})
        j[part] = Json::object();
    for (std::size_t n = 0; n < r.needs.size(); ++n) {
        const LampNeed& need = r.needs[n];
        const SettingsLight& light = r.input.lights[need.light];
        j["short_by_stops"][light.name] = r.short_stops[n].value;
        j["short_by_stops_interval95"][light.name] = pair(r.short_stops[n].interval95);
        j["over_by_stops"][light.name] = need.over_stops;
        j[light.kind == LightKind::flash ? "least_lumen_seconds" : "least_lumens"][light.name] =
            number(need.leastFlux);
    }
    j["remedies"] = r.changes ? remediesJson(r) : Json(nullptr);

    Json all = jsonOf(report);
    Json warnings = all["warnings"];
    all.erase("warnings");
    all["settings"] = j;
    for (const Json& w : warningsJson(warningsOf(r))) warnings.push_back(w);
    all["warnings"] = warnings;
    return all;
}

}  // namespace keyfall
