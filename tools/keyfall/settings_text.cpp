// `settings` as a table for people. Changes from the scene as set carry a star.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "length_text.h"
#include "scene/photo.h"
#include "settings_report.h"

namespace keyfall {
namespace {

// The usual yields of lamps when only watts are known (README, "The scene file"); about.
constexpr double kLumenSecondsPerWattSecond = 30.0;
constexpr double kLumensPerWatt = 90.0;

std::string starred(const std::string& text, bool changed) {
    return changed ? text + "*" : text;
}

std::string overText(double stops) {
    if (!std::isfinite(stops)) return "dark";
    return std::abs(stops) < 0.005
               ? "0.00"
               : fmt::format("{:.2f} {}", std::abs(stops), stops > 0.0 ? "over" : "under");
}

std::string powersText(const SettingsInput& input, const Setting& s, const Changed& changed) {
    std::string text;
    for (std::size_t l = 0; l < input.lights.size(); ++l)
        if (input.lights[l].moves)
            text += (text.empty() ? "" : ", ") +
                    starred(input.lights[l].name + " " + canonicalPower(s.power_stops[l]), changed.power[l]);
    return text.empty() ? "as set" : text;
}

std::string sharpText(const SettingsInput& input, const SettingCosts& c) {
    if (!c.sharpDepthShare) return std::isfinite(c.depth_m) ? lengthText(c.depth_m, c.depth_m) : std::string("all");
    const double subject_m = input.subject_m->y - input.subject_m->x;
    const std::string share = fmt::format("{:.0f} %", 100.0 * *c.sharpDepthShare);
    return subject_m > 0.0 ? share + ", " + lengthText(*c.sharpDepthShare * subject_m, subject_m) : share + " (flat)";
}

std::string timeText(double seconds) {
    return seconds < 0.3 ? fmt::format("1/{:.0f} s", 1.0 / seconds) : fmt::format("{:.2g} s", seconds);
}

std::string ambientText(const SettingCosts& c) {
    if (!c.ambient_stops) return "-";
    return fmt::format("{:.1f} {}", std::abs(*c.ambient_stops), *c.ambient_stops > 0.0 ? "over" : "under");
}

std::string framesText(const SettingsInput& input, const SettingCosts& c) {
    if (!input.subject_m) return "-";
    if (c.frames > 0) return fmt::format("{}", c.frames);
    return input.subject_m->x > input.camera.focalLength_m ? ">1000" : "none";
}

std::string row(const std::string& number, const SettingsInput& input, const Setting& s,
                std::size_t powerWidth) {
    const Changed changed = changedOf(input, s);
    const SettingCosts& c = s.costs;
    std::string notes;
    for (const Warning& w : warningsOf(input, s)) notes += (notes.empty() ? "" : ", ") + w.code;
    std::string line = fmt::format("{:7}{:8}{:10}{:8}{:{}}  {:12}{:12}{:16}{:8}{:7}{:9}{:10}", number,
                                   starred(fmt::format("f/{:.3g}", s.aperture.asWritten), changed.aperture),
                                   starred(shutterText(s.shutter_s.asWritten), changed.shutter),
                                   starred(fmt::format("{:.6g}", s.iso.asWritten), changed.iso),
                                   powersText(input, s, changed), powerWidth, overText(s.stopsOver),
                                   apertureReading(LightAtProbe(input).meterAperture(s)), sharpText(input, c),
                                   framesText(input, c), fmt::format("{:.0f} µm", c.airy_m * 1e6),
                                   fmt::format("{:.1f} dB", c.snr_dB), c.drawing.time_s ? timeText(*c.drawing.time_s) : "flash");
    if (input.motion_mps)
        line += fmt::format("{:11}", c.motion_px ? fmt::format("{:.1f} px", *c.motion_px) : "-");
    line += fmt::format("{:11}{}", ambientText(c), notes);
    return line.erase(line.find_last_not_of(' ') + 1) + "\n";
}

std::string table(const SettingsReport& r) {
    std::vector<std::pair<std::string, const Setting*>> rows = {{"as set", &r.asSet}};
    for (std::size_t i = 0; i < r.choices.size(); ++i)
        rows.emplace_back(fmt::format("{}", i + 1), &r.choices[i]);
    for (const Setting& s : r.near) rows.emplace_back("near", &s);
    std::size_t width = 5;
    for (const auto& [number, s] : rows)
        width = std::max(width, powersText(r.input, *s, changedOf(r.input, *s)).size());
    std::string text =
        fmt::format("{:7}{:8}{:10}{:8}{:{}}  {:12}{:12}{:16}{:8}{:7}{:9}{:10}", "", "f", "shutter", "ISO",
                    "power", width, "picture", "meter", "sharp", "frames", "Airy", "grey", "light in");
    if (r.input.motion_mps) text += fmt::format("{:11}", "moves");
    text += fmt::format("{:11}{}\n", "ambient", "mind");
    for (const auto& [number, s] : rows) text += row(number, r.input, *s, width);
    return text;
}

/// Rounded to so many digits: 5730, 190.
double digits(double x, int count) {
    if (!(x > 0.0) || !std::isfinite(x)) return x;
    const double unit = std::pow(10.0, std::floor(std::log10(x)) - count + 1);
    return std::round(x / unit) * unit;
}

std::string fluxText(const SettingsLight& light, double flux) {
    const bool flash = light.kind == LightKind::flash;
    return fmt::format("{:g} {}, about {:g} {}", digits(flux, 3), flash ? "lm·s" : "lm",
                       digits(flux / (flash ? kLumenSecondsPerWattSecond : kLumensPerWatt), 2),
                       flash ? "W·s" : "W");
}

/// "ISO 320, f/6.3 or 1/40 s"; empty: no single change does.
std::string changesText(const OneChange& c) {
    std::vector<std::string> ways;
    if (c.iso) ways.push_back(fmt::format("ISO {:.6g}", c.iso->iso.asWritten));
    if (c.aperture) ways.push_back(fmt::format("f/{:.3g}", c.aperture->aperture.asWritten));
    if (c.shutter) ways.push_back(shutterText(c.shutter->shutter_s.asWritten));
    std::string text;
    for (std::size_t i = 0; i < ways.size(); ++i)
        text += (i == 0 ? "" : i + 1 == ways.size() ? " or " : ", ") + ways[i];
    return text;
}

std::string placeText(const SettingsReport& r, std::size_t n) {
    const double cm = r.place->distance_m[n] * 100.0;
    const double now_cm = r.input.lights[r.needs[n].light].distance_m * 100.0;
    if (!r.place->stopsOver)
        return fmt::format(
            "by the inverse square alone it would have to be at about {:.2g} cm (not metered there; now "
            "{:.0f} cm)",
            cm, now_cm);
    const double off_stops = std::abs(r.place->stopsOver->value);
    const char* can = off_stops <= kCloseEnough_stops ? "can" : off_stops <= kNearest_stops ? "nearly can" : "still cannot";
    return fmt::format("at {:.0f} cm it {} (metered there: picture {}; now {:.0f} cm)", cm,
                       can, overText(r.place->stopsOver->value), now_cm);
}

std::string needLines(const SettingsReport& r) {
    std::string text;
    for (std::size_t n = 0; n < r.needs.size(); ++n) {
        const LampNeed& need = r.needs[n];
        const SettingsLight& light = r.input.lights[need.light];
        const bool weak = need.short_stops > kCloseEnough_stops;
        if (!lampCannot(need)) {
            text += fmt::format(
                "{} needs {} with the camera as set; the least lamp that would do: {} at full power\n",
                light.name, canonicalPower(std::min(0.0, std::round(need.power_stops * 10.0) * 0.1)), fluxText(light, need.leastFlux));
            continue;
        }
        if (weak)
            text += fmt::format("{} cannot: {:.1f} ± {:.2f} stops short at full power with the camera as set; ",
                                light.name, need.short_stops, r.short_stops[n].interval95.half());
        else
            text += fmt::format("{} cannot: {:.1f} stops too much at its lowest power with the camera as set; ",
                                light.name, need.over_stops);
        text += placeText(r, n);
        const std::string changes = changesText(*r.changes);
        if (!changes.empty()) text += (r.place->stopsOver ? ", or with " : "; or with ") + changes;
        text += weak ? fmt::format("; the least lamp that would do: {} at full power\n",
                                   fluxText(light, need.leastFlux))
                     : fmt::format(", or behind a neutral gel of {:.1f} stops\n", need.over_stops);
    }
    return text;
}

std::string preferText(const SettingsInput& input) {
    std::string text;
    for (const Limits::Prefer p : preferenceOf(input.limits))
        text += (text.empty() ? "" : ", ") + std::string(nameOf(p));
    return text;
}

}  // namespace

std::string textOf(const Report& report, const SettingsReport& r) {
    std::string text = fmt::format("{} · exposed for {} ± {:.2f} stop · prefer {} · * changed\n",
                                   report.scene.file.filename().string(), r.probe,
                                   stopsOverOf(r.input, r.asSet).interval95.half(), preferText(r.input));
    text += table(r) + needLines(r);
    if (!r.choices.empty() || isNear(r.near.front())) {
        std::string command = r.choices.empty() ? "near" : "row 1";
        command += ": keyfall render " + report.scene.file.string();
        for (const std::string& s : setOptionsOf(r.input, r.choices.empty() ? r.near.front() : r.choices.front()))
            command += " --set " + (s.find('[') == std::string::npos ? s : "'" + s + "'");  // a shell would look for files
        text += command + "\n";
    }
    for (const Warning& w : warningsFromNumbers(report)) text += fmt::format("warning: {}\n", w.text);
    for (const Warning& w : warningsOf(r))
        if (w.code == "no-setting" || w.code == "only-nearest" || w.code == "light-that-stays")
            text += fmt::format("warning: {}\n", w.text);
    return text;
}

}  // namespace keyfall
