#include "renderer/meter/settings.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "renderer/meter/settings_costs.h"
#include "renderer/photograph/exposure.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

/// Picture value over the wish, per unit of luminous exposure at the probe, for N = 1 and ISO 1.
/// Incident: H*S/(C*N^2) (ISO 2720). Spot: pi*Q*S/(C*N^2) over 0.18 (README, "Numbers").
double perExposure(ProbeKind kind) {
    switch (kind) {
        case ProbeKind::incident:
            return 1.0 / kMeterC_flat;
        case ProbeKind::dome:
            return 1.0 / kMeterC_dome;
        case ProbeKind::spot:
            return std::numbers::pi / (kMeterC_flat * kMidGrey);
    }
    return 0.0;
}

double cameraOffset_stops(const Camera& camera) {
    return (camera.closeUpCompensated ? 0.0 : closeUp_stops(camera)) + camera.calibration_stops;
}

double meanOf(const Reading& r, int leftOut) {
    return leftOut < 0 ? r.mean() : detail::leaveOneOut(r, leftOut);
}

/// Calls `visit` for each triple of the ranges, with the best powers.
template <class Visit>
void visitAll(const SettingsInput& input, const SettingsRanges& ranges, Visit visit) {
    const LightAtProbe light(input);
    for (const Engraved& aperture : ranges.aperture)
        for (const Engraved& shutter_s : ranges.shutter_s)
            for (const Engraved& iso : ranges.iso) {
                Setting camera;
                camera.aperture = aperture;
                camera.shutter_s = shutter_s;
                camera.iso = iso;
                visit(light, withBestPower(input, light, camera));
            }
}

}  // namespace

LightAtProbe::LightAtProbe(const SettingsInput& input, int leftOut) : input_(input) {
    for (const SettingsLight& l : input.lights) atFull_.push_back(meanOf(l.atFull, leftOut));
}

double LightAtProbe::sum(LightKind kind, const std::vector<double>& power_stops, Part part) const {
    double all = 0.0;
    for (std::size_t l = 0; l < atFull_.size(); ++l) {
        const SettingsLight& light = input_.lights[l];
        if (light.kind == kind && (part == Part::all || light.moves))
            all += atFull_[l] * std::exp2(power_stops[l]);
    }
    return all;
}

// stops over = log2(H*S*k/N^2) + offset = 0   =>   H = N^2/(S*k) * 2^-offset.
double LightAtProbe::needed(const Setting& s) const {
    const double n = s.aperture.exact;
    return n * n / (s.iso.exact * perExposure(input_.probe)) * std::exp2(-cameraOffset_stops(input_.camera));
}

double LightAtProbe::exposure(const Setting& s) const {
    return flash(s.power_stops) + continuous(s.power_stops) * s.shutter_s.exact;
}

double LightAtProbe::stopsOver(const Setting& s) const {
    return std::log2(exposure(s) / needed(s));
}

double LightAtProbe::meterAperture(const Setting& s) const {
    if (input_.probe == ProbeKind::spot) return apertureFromLuminance(exposure(s), s.iso.exact);
    return apertureFromExposure(exposure(s), s.iso.exact,
                                input_.probe == ProbeKind::dome ? kMeterC_dome : kMeterC_flat);
}

// F + C*t, of which the moving part is multiplied by 2^g:  g = log2((needed - staying) / moving).
std::optional<double> LightAtProbe::moveNeeded_stops(const Setting& camera) const {
    std::vector<double> asSet;
    for (const SettingsLight& l : input_.lights) asSet.push_back(l.power_stops);
    const double t_s = camera.shutter_s.exact;
    const double moving =
        sum(LightKind::flash, asSet, Part::moving) + sum(LightKind::continuous, asSet, Part::moving) * t_s;
    const double staying = flash(asSet) + continuous(asSet) * t_s - moving;
    const double rest = needed(camera) - staying;
    if (!(moving > 0.0) || !(rest > 0.0)) return {};
    return std::log2(rest / moving);
}

MoveRange moveRange(const SettingsInput& input) {
    MoveRange range{-std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    bool any = false;
    for (const SettingsLight& l : input.lights) {
        if (!l.moves) continue;
        any = true;
        range.most = std::min(range.most, -l.power_stops);
        if (l.lowest_stops) range.least = std::max(range.least, *l.lowest_stops - l.power_stops);
    }
    return any ? range : MoveRange{};
}

double steppedPower_stops(const SettingsLight& light, double wanted_stops) {
    const double step = light.step_stops.value_or(kUsualPowerStep_stops);
    // 1e-6 of a step: ten tenths are a whole stop, whatever the last bit says.
    const double most = light.lowest_stops ? std::floor(-*light.lowest_stops / step + 1e-6) : 1e9;
    return -step * std::clamp(std::round(-wanted_stops / step), 0.0, most);
}

std::vector<double> movedPowers(const SettingsInput& input, double by_stops) {
    std::vector<double> power_stops;
    for (const SettingsLight& l : input.lights) {
        const bool stays = !l.moves || std::abs(by_stops) < 1e-9;
        power_stops.push_back(stays ? l.power_stops : steppedPower_stops(l, l.power_stops + by_stops));
    }
    return power_stops;
}

Setting settingAsSet(const SettingsInput& input) {
    Setting s;
    s.aperture = input.camera.aperture;
    s.shutter_s = input.camera.shutter_s;
    s.iso = input.camera.iso;
    s.power_stops = movedPowers(input, 0.0);
    s.stopsOver = LightAtProbe(input).stopsOver(s);
    s.costs = costsOf(input, s);
    return s;
}

Setting withBestPower(const SettingsInput& input, const LightAtProbe& light, Setting s) {
    s.power_stops = movedPowers(input, 0.0);
    s.stopsOver = light.stopsOver(s);
    const MoveRange range = moveRange(input);
    const bool stays = range.least <= 0.0 && std::abs(s.stopsOver) <= kCloseEnough_stops;
    if (stays || range.least > range.most || range.least == range.most) return s;
    // Where the light that stays is too much, the lamps go as low as they can.
    const double wanted = light.moveNeeded_stops(s).value_or(range.least);
    if (!std::isfinite(wanted)) return s;
    s.power_stops = movedPowers(input, std::clamp(wanted, range.least, range.most));
    s.stopsOver = light.stopsOver(s);
    return s;
}

std::vector<Setting> possibleSettings(const SettingsInput& input, const SettingsRanges& ranges) {
    const MoveRange range = moveRange(input);
    std::vector<Setting> all;
    if (range.least > range.most) return all;
    double lastAperture = 0.0;
    ApertureCosts ofAperture;
    visitAll(input, ranges, [&](const LightAtProbe&, Setting s) {
        if (!(std::abs(s.stopsOver) <= kExposureTolerance_stops + 1e-9)) return;
        if (s.aperture.exact != lastAperture)
            ofAperture = apertureCosts(input, lastAperture = s.aperture.exact);
        s.costs = costsOf(input, s, ofAperture);
        all.push_back(std::move(s));
    });
    return all;
}

Setting nearestSetting(const SettingsInput& input, const SettingsRanges& ranges) {
    Setting nearest = settingAsSet(input);
    bool first = true;
    visitAll(input, ranges, [&](const LightAtProbe&, const Setting& s) {
        if (first || std::abs(s.stopsOver) < std::abs(nearest.stopsOver)) nearest = s;
        first = false;
    });
    nearest.costs = costsOf(input, nearest);
    return nearest;
}

SettingsRanges rangesOf(const SettingsInput& input) {
    return stepsWithin(input.limits, input.camera, hasFlash(input));
}

bool hasFlash(const SettingsInput& input) {
    return std::any_of(input.lights.begin(), input.lights.end(),
                       [](const SettingsLight& l) { return l.kind == LightKind::flash; });
}

}  // namespace keyfall
