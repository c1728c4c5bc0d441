#include "equal_exposure.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "renderer/meter/jackknife.h"
#include "renderer/meter/settings.h"
#include "scene/diagnostics.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

/// Full is full: what rounding leaves over it is nothing that a lamp lacks.
constexpr double kBeyond_stops = 0.005;

bool isNamed(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

bool moves(const Light& light, const Compensation& c) { return light.strength() > 0.0 && isNamed(c.lamps, light.name); }

const ProbeReading* readingAt(const std::vector<ProbeReading>& readings, const std::string& name) {
    const auto at = std::find_if(readings.begin(), readings.end(), [&](const ProbeReading& r) { return r.name == name; });
    return at != readings.end() ? &*at : nullptr;
}

/// Of the lamps that move, at the probe. byLight comes in the order of Scene::lights.
Reading movedExposure(const Scene& scene, const ProbeReading& at, const Compensation& c) {
    Reading moved;
    for (std::size_t l = 0; l < scene.lights.size(); ++l)
        if (moves(scene.lights[l], c)) moved += at.byLight[l].exposure;
    return moved;
}

/// Stops that the moved lamps need, replicates left out one by one.
void solvePower(const Scene& scene, const ProbeReading& at, Compensation& c) {
    const Reading moved = movedExposure(scene, at, c);
    const double wanted = at.exposure.mean() * std::exp2(-at.pictureStopsOver->value);
    const auto light = [&](int leftOut) { return meanWithout(moved, leftOut); };
    const auto rest = [&](int leftOut) { return meanWithout(at.exposure, leftOut) - light(leftOut); };
    for (int i = kNoneLeftOut; i < kReplicates; ++i) {
        if (!(light(i) > 0.0)) c.impossible = fmt::format("too little light of {} was found at {}", joined(c.lamps), at.name);
        else if (!(wanted > rest(i)))
            c.impossible = fmt::format("what {} does not send to {} is {:.1f} stops over by itself", joined(c.lamps), at.name,
                                       std::log2(rest(kNoneLeftOut) / wanted));
        if (!c.impossible.empty()) return;
    }
    c.stops = jackknife([&](int i) { return std::log2((wanted - rest(i)) / light(i)); });
}

/// The camera takes all light alike.
void solveCamera(const ProbeReading& at, Compensation& c) {
    const double mean = at.exposure.mean();
    c.stops = jackknife([&](int i) { return -at.pictureStopsOver->value - std::log2(meanWithout(at.exposure, i) / mean); });
}

void findBeyond(const Scene& scene, Compensation& c) {
    for (const Light& light : scene.lights) {
        if (!moves(light, c)) continue;
        const double power = light.power_stops + c.stops.value;
        if (power > kBeyond_stops) c.beyond.push_back({light.name, power});
        else if (light.lowestPower_stops && power < *light.lowestPower_stops - kBeyond_stops)
            c.beyond.push_back({light.name, power - *light.lowestPower_stops});
    }
}

/// For a person's eye; the exact value stays beside it.
double shortened(double value) {
    const double step = std::pow(10.0, std::floor(std::log10(value)) - 2.0);
    return std::round(value / step) * step;
}

std::string stopsText(double stops) { return fmt::format("{:+.2f} stop{}", stops, std::abs(stops) < 1.005 ? "" : "s"); }

}  // namespace

Compensation compensationFor(const Scene& scene, const std::vector<ProbeReading>& readings, const EqualExposure& wish) {
    Compensation c;
    c.by = wish.by;
    if (wish.by == Compare::By::none) return c;
    for (const Light& light : scene.lights)
        if (wish.by == Compare::By::power && light.strength() > 0.0 && isNamed(wish.lamps, light.name)) c.lamps.push_back(light.name);
    if (wish.by == Compare::By::power && wish.lamps.empty()) return c;
    const ProbeReading* at = readingAt(readings, wish.at);
    if (at == nullptr || !at->pictureStopsOver) c.impossible = fmt::format("probe {} has no reading here", wish.at);
    else if (wish.by != Compare::By::power) solveCamera(*at, c);
    else if (c.lamps.empty()) c.impossible = fmt::format("{} is off here", joined(wish.lamps));
    else solvePower(scene, *at, c);
    if (c.impossible.empty()) findBeyond(scene, c);
    else c.lamps.clear();
    return c;
}

void compensate(Scene& scene, const Compensation& c) {
    if (!c.impossible.empty()) return;
    const double stops = c.stops.value;
    for (Light& light : scene.lights) {
        if (!moves(light, c)) continue;
        light.power_stops += stops;
        light.powerText = canonicalPower(std::round(100.0 * light.power_stops) / 100.0);
    }
    const auto by = [](Engraved& value, double stopsOfIt) {
        value.exact *= std::exp2(stopsOfIt);
        value.asWritten = shortened(value.exact);
    };
    if (c.by == Compare::By::iso) by(scene.camera.iso, stops);
    if (c.by == Compare::By::shutter) by(scene.camera.shutter_s, stops);
    if (c.by == Compare::By::aperture) by(scene.camera.aperture, -0.5 * stops);  // N^2 is the light's inverse
}

std::vector<Warning> compensationWarnings(const Scene& scene, const EqualExposure& wish, const Compensation& c) {
    std::vector<Warning> warnings;
    for (const Compensation::Beyond& b : c.beyond)
        warnings.push_back({"power-out-of-range", fmt::format("{} would need {:.1f} stops {}", b.lamp, std::abs(b.stops),
                                                              b.stops > 0.0 ? "more than this lamp has" : "less than its lowest power")});
    if (!c.impossible.empty())
        warnings.push_back({"not-equal-exposure", fmt::format("{}: left as it is, not at equal exposure", c.impossible)});
    if (c.by == Compare::By::aperture)
        warnings.push_back({"depth-of-field-moves", fmt::format("at f/{:g} in place of equal f-numbers: depth of field and blur differ "
                                                                "between variants, too", scene.camera.aperture.asWritten)});
    if (c.by == Compare::By::iso && scene.camera.iso.exact < 0.99 * scene.camera.electronics.baseIso)
        warnings.push_back({"iso-below-base", fmt::format("ISO {:g} is below the sensor's base ISO {:g}: highlights end earlier there",
                                                          scene.camera.iso.asWritten, scene.camera.electronics.baseIso)});
    if (c.by == Compare::By::power && wish.lamps.empty())
        warnings.push_back({"not-equal-exposure",
                            "these variants change no light, so no lamp was moved; compare.lamps = \"all\" "
                            "moves all of them"});
    return warnings;
}

bool isOfExposure(const Warning& warning) {
    constexpr std::array kCodes{"power-out-of-range", "not-equal-exposure", "depth-of-field-moves",
                                "iso-below-base", "power-compensated"};
    return std::find(kCodes.begin(), kCodes.end(), warning.code) != kCodes.end();
}

const char* nameOf(Compare::By by) {
    switch (by) {
        case Compare::By::power: return "power";
        case Compare::By::iso: return "iso";
        case Compare::By::shutter: return "shutter";
        case Compare::By::aperture: return "aperture";
        case Compare::By::none: return "none";
    }
    return "?";
}

std::string compensationText(const Scene& scene, const Compensation& c) {
    if (!c.impossible.empty()) return "not possible";
    const std::string by = " (" + stopsText(c.stops.value) + ")";
    switch (c.by) {
        case Compare::By::iso: return fmt::format("ISO {:g}", scene.camera.iso.asWritten) + by;
        case Compare::By::shutter: return shutterText(scene.camera.shutter_s.asWritten) + by;
        case Compare::By::aperture: return fmt::format("f/{:g}", scene.camera.aperture.asWritten) + by;
        case Compare::By::none: return "as set";
        case Compare::By::power: break;
    }
    std::vector<std::string> lamps;
    for (const Light& light : scene.lights)
        if (moves(light, c)) lamps.push_back(light.name + " " + light.powerText);
    return lamps.empty() ? "as set" : joined(lamps) + by;
}

constexpr double kUsualPowerStep_stops = 0.1;  // of a lamp that states none: common practice, no source

std::string dialText(const Scene& scene, const Compensation& c) {
    std::vector<std::string> lamps;
    for (const Light& light : scene.lights) {
        if (!moves(light, c) || !c.impossible.empty()) continue;
        const double step = light.powerStep_stops.value_or(kUsualPowerStep_stops);
        lamps.push_back(light.name + " " + canonicalPower(std::round(light.power_stops / step) * step));
    }
    return joined(lamps);
}

}  // namespace keyfall
