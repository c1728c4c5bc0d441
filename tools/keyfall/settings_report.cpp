// Remarks and --set options that text and JSON of `settings` share.
#include "settings_report.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "length_text.h"
#include "renderer/meter/settings_costs.h"
#include "scene/motion.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

/// As --set takes it: "1/125", "0.4", "2".
std::string shutterValue(double asWritten_s) {
    if (asWritten_s < 0.3) return fmt::format("1/{:.6g}", 1.0 / asWritten_s);
    return fmt::format("{:.6g}", asWritten_s);
}

std::string offText(const Setting& s) {
    return fmt::format("{:.2f} stop {} the wish", std::abs(s.stopsOver), s.stopsOver > 0.0 ? "over" : "under");
}

void warnOfTime(const SettingsInput& input, const SettingCosts& c, std::vector<Warning>& warnings) {
    const double limit_s = handheldLimit_s(input.camera.focalLength_m, input.camera.sensor_m);
    if (isShaken(c.drawing, limit_s)) {
        if (input.camera.support == Support::hand)
            warnings.push_back(
                {"shake",
                 fmt::format("longer than is held by hand ({:.3g} s): a tripod, or more light", limit_s)});
        else
            warnings.push_back(
                {"remote-release",
                 fmt::format("longer than is held by hand ({:.3g} s): tripod and remote release", limit_s)});
    }
    if (c.motion_px && *c.motion_px > 1.0)
        warnings.push_back(
            {"motion-blur", fmt::format("the subject moves {:.1f} pixels meanwhile", *c.motion_px)});
    if (c.ghost_px && *c.ghost_px > 1.0 && *c.ambient_stops > kUnseenAmbient_stops)
        warnings.push_back({"ghost", fmt::format("the continuous light draws a ghost over {:.1f} pixels", *c.ghost_px)});
    if (input.motion_mps && !c.drawing.time_s)
        warnings.push_back({"flash-duration-unknown", "no flash lamp that is on says how long it lasts (t05)"});
}

void warnOfFocus(const SettingsInput& input, const Setting& s, std::vector<Warning>& warnings) {
    const SettingCosts& c = s.costs;
    if (c.frames == 0)
        warnings.push_back({"focus-stack", input.subject_m->x > input.camera.focalLength_m
                                               ? "over 1000 frames for a focus stack of all its depth"
                                               : "its nearest point is nearer than the focal length: no frame holds it"});
    if (c.frames > 1)
        warnings.push_back({"focus-stack", fmt::format("one frame does not hold all of its depth; {} frames do", c.frames)});
    const auto wanted_m = s.refocus_m ? s.refocus_m : refocusFor_m(input, s.aperture.exact);
    if (!wanted_m) return;
    const double apart_m = std::abs(*wanted_m - input.camera.focusDistance_m);
    warnings.push_back({"refocus", fmt::format("one frame holds all of its depth focused at {} from the lens, not at {}",
                                               lengthText(*wanted_m, apart_m), lengthText(input.camera.focusDistance_m, apart_m))});
}

}  // namespace

std::vector<std::string> setOptionsOf(const SettingsInput& input, const Setting& s) {
    const Changed changed = changedOf(input, s);
    std::vector<std::string> set;
    if (changed.aperture) set.push_back(fmt::format("camera.aperture={:.6g}", s.aperture.asWritten));
    if (s.refocus_m) {
        const glm::dvec3 at_cm = 1e2 * (glm::dvec3(input.camera.lens_m) + *s.refocus_m * glm::dvec3(input.camera.frame.z));
        set.push_back(fmt::format("camera.focus=[{:.4f},{:.4f},{:.4f}]", at_cm.x, at_cm.y, at_cm.z));
    }
    if (changed.shutter) set.push_back("camera.shutter=" + shutterValue(s.shutter_s.asWritten));
    if (changed.iso) set.push_back(fmt::format("camera.iso={:.6g}", s.iso.asWritten));
    for (std::size_t l = 0; l < input.lights.size(); ++l)
        if (changed.power[l])
            set.push_back(
                fmt::format("light.{}.power={}", input.lights[l].name, canonicalPower(s.power_stops[l])));
    return set;
}

std::vector<Warning> warningsOf(const SettingsInput& input, const Setting& s) {
    const SettingCosts& c = s.costs;
    std::vector<Warning> warnings;
    if (!isExact(s)) warnings.push_back({"off-wish", "the picture is " + offText(s)});
    if (hasFlash(input) && s.shutter_s.exact < input.camera.flashSync_s * (1.0 - 1e-6))
        warnings.push_back({"shutter-faster-than-sync",
                            "the shutter is faster than flash_sync: part of the frame gets no flash"});
    for (std::size_t l = 0; l < input.lights.size(); ++l) {
        const SettingsLight& light = input.lights[l];
        if (light.lowest_stops && s.power_stops[l] < *light.lowest_stops - 1e-6)
            warnings.push_back(
                {"power-under-lowest",
                 fmt::format("light {}: {} is less than its lowest power, {}", light.name,
                             canonicalPower(s.power_stops[l]), canonicalPower(*light.lowest_stops))});
    }
    warnOfFocus(input, s, warnings);
    if (c.airy_m > input.camera.circleOfConfusion_m)
        warnings.push_back(
            {"diffraction", fmt::format("the Airy disc ({:.0f} µm) is larger than the circle of confusion",
                                        c.airy_m * 1e6)});
    const double below_stops = belowBase_stops(input.camera, s.iso.exact);
    if (below_stops > 0.0)
        warnings.push_back({"iso-below-base", fmt::format("below the base ISO, {:g}: the raw ends {:.1f} stops earlier",
                                                          input.camera.electronics.baseIso, below_stops)});
    if (c.rawOverGrey_stops < 0.0)
        warnings.push_back({"grey-clips-in-raw", "18 % grey itself is beyond the end of the raw"});
    if (c.snr_dB < kExcellentSnr_dB)
        warnings.push_back({"grain", fmt::format("{:.1f} dB at mid grey: under 40:1 grain shows", c.snr_dB)});
    warnOfTime(input, c, warnings);
    if (c.ambient_stops && *c.ambient_stops > kUnseenAmbient_stops)
        warnings.push_back({"ambient-seen", fmt::format("continuous light is {:.1f} stops {} the flash",
                                                        std::abs(*c.ambient_stops),
                                                        *c.ambient_stops > 0.0 ? "over" : "under")});
    return warnings;
}

std::vector<Warning> warningsOf(const SettingsReport& r) {
    std::vector<Warning> warnings;
    for (const LampNeed& n : r.needs) {
        const std::string& name = r.input.lights[n.light].name;
        if (n.short_stops > kCloseEnough_stops)
            warnings.push_back(
                {"lamp-too-weak",
                 fmt::format("light {}: {:.1f} stops short at full power, with the camera as set", name,
                             n.short_stops)});
        if (n.over_stops > kCloseEnough_stops)
            warnings.push_back(
                {"lamp-too-strong",
                 fmt::format("light {}: {:.1f} stops too much at its lowest power, with the camera as set",
                             name, n.over_stops)});
    }
    const bool moves = std::any_of(r.input.lights.begin(), r.input.lights.end(),
                                   [](const SettingsLight& l) { return l.moves; });
    if (moves && r.needs.empty())
        warnings.push_back({"light-that-stays",
                            "with the camera as set, light that stays as it is is too much already, or no "
                            "lamp that may move sends any"});
    if (!r.choices.empty()) return warnings;
    if (isNear(r.near.front())) {
        warnings.push_back({"only-nearest",
                            fmt::format("no setting comes within {:g} stop of the wish: dials of camera and lamps go in "
                                        "coarser steps; the nearest is {}",
                                        kCloseEnough_stops, offText(r.near.front()))});
        return warnings;
    }
    const double by = r.shortWithinLimits_stops;
    std::string why = "no setting within the limits exposes it";
    if (by > 0.0) why += fmt::format(": {:.1f} stops short with all that they allow", by);
    if (by < 0.0) why += fmt::format(": {:.1f} stops too much with the least that they allow", -by);
    warnings.push_back({"no-setting", why});
    return warnings;
}

const char* nameOf(Limits::Prefer prefer) {
    switch (prefer) {
        case Limits::Prefer::depth:
            return "depth";
        case Limits::Prefer::grain:
            return "grain";
        case Limits::Prefer::blur:
            return "blur";
        case Limits::Prefer::ambient:
            return "ambient";
    }
    return "?";
}

}  // namespace keyfall
