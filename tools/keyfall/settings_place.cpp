#include "settings_place.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "prepare.h"
#include "scene/read_scene.h"

namespace keyfall {
namespace {

constexpr double kNearEnough_stops = 0.05;
constexpr int kMostReadings = 3;

/// The light's place at `distance_m` from its aim, as --set options: by its distance where it is placed
/// around a point, else by the point itself.
std::string aroundOption(const Light& light, double distance_m) {
    return fmt::format("light.{}.around.distance={:.6f}", light.name, distance_m * 100.0);
}
std::string atOption(const Light& light, double distance_m) {
    const glm::dvec3 aim_m = glm::dvec3(light.exit_m) + glm::dvec3(light.axes.z) * light.exitDistance_m;
    const glm::dvec3 at_cm = 100.0 * (aim_m - glm::dvec3(light.axes.z) * distance_m);
    return fmt::format("light.{}.at=[{:.6f}, {:.6f}, {:.6f}]", light.name, at_cm.x, at_cm.y, at_cm.z);
}

const Light* named(const Scene& scene, const std::string& name) {
    for (const Light& l : scene.lights)
        if (l.name == name) return &l;
    return nullptr;
}

std::optional<Scene> readWith(const Options& options, const std::vector<std::string>& more) {
    ReadOptions read;
    read.set = options.set;
    read.set.insert(read.set.end(), more.begin(), more.end());
    return readScene(options.scene, read).scene;
}

/// Options after which the light's exit is `distance_m` from its aim; empty: none does. Where it stands
/// may be measured to the exit or to the lamp, and its aim be another point than the one it is around.
std::string optionFor(const Options& options, const std::vector<std::string>& before, const Light& light,
                      double distance_m) {
    const double toLamp_m = light.lampDistance_m - light.exitDistance_m;
    for (const auto option : {aroundOption, atOption}) {
        for (double asked_m : {distance_m, distance_m + toLamp_m}) {
            for (int turn = 0; turn < 2; ++turn) {
                std::vector<std::string> set = before;
                set.push_back(option(light, asked_m));
                const auto scene = readWith(options, set);
                const Light* moved = scene ? named(*scene, light.name) : nullptr;
                if (moved == nullptr) break;
                const double off_m = distance_m - moved->exitDistance_m;
                if (std::abs(off_m) < 0.001) return set.back();
                asked_m += off_m;
            }
        }
    }
    return {};
}

/// The scene with every lamp that cannot at its new distance; empty: it cannot be read so.
std::optional<Scene> placedScene(const Options& options, const Scene& scene, const SettingsReport& r,
                                 const std::vector<double>& distance_m) {
    std::vector<std::string> set;
    for (std::size_t n = 0; n < r.needs.size(); ++n) {
        if (!lampCannot(r.needs[n])) continue;
        const Light* light = named(scene, r.input.lights[r.needs[n].light].name);
        const std::string option =
            light != nullptr ? optionFor(options, set, *light, distance_m[n]) : std::string();
        if (option.empty()) return {};
        set.push_back(option);
    }
    return readWith(options, set);
}

/// Default probes may have changed their names: the nearest one is the same.
void keepProbeAt(Scene& scene, glm::vec3 at_m) {
    const auto nearer = [&](const Probe& a, const Probe& b) {
        return glm::length(a.at_m - at_m) < glm::length(b.at_m - at_m);
    };
    const auto probe = std::min_element(scene.probes.begin(), scene.probes.end(), nearer);
    if (probe == scene.probes.end()) return;
    scene.probes = {*probe};
    scene.probesAreDefault = false;
}

/// The picture at the probe with lamps at the powers that they have nearest to what they need.
std::optional<Measured> readThere(const Options& options, Scene scene, const SettingsReport& r,
                                  std::optional<double> time_s) {
    LightTables tables = prepare(scene, options);
    const Stage stage(scene, options.threads, std::move(tables));
    PathCounters counters;
    Options quiet = options;
    quiet.quiet = true;
    const auto readings = takeReadings(stage, readingSettings(quiet, time_s), counters);
    if (readings.empty() || !readings.front().aperture) return {};
    SettingsInput input = settingsInput(scene, readings.front(), automaticWhite(readings), {});
    if (input.lights.size() != r.input.lights.size()) return {};
    Setting s = settingAsSet(input);
    for (const LampNeed& n : r.needs)
        s.power_stops[n.light] = steppedPower_stops(input.lights[n.light], n.power_stops);
    return stopsOverOf(input, s);
}

/// Octaves of distance by which to go on, from what was read at the last one or two places. A point's light
/// falls by two stops an octave; how it falls here the second reading tells.
double furtherOctaves(const std::vector<glm::dvec2>& read) {
    const glm::dvec2 last = read.back();
    double fall = 2.0;
    if (read.size() > 1) {
        const glm::dvec2 way = last - read[read.size() - 2];
        const double seen = -way.y / way.x;
        if (seen > 0.2 && seen < 4.0) fall = seen;
    }
    return last.y / fall;
}

}  // namespace

MeteredPlace meteredPlace(const Options& options, const Scene& scene, const ProbeReading& reading,
                          const SettingsReport& r, std::optional<double> time_s) {
    MeteredPlace place;
    for (const LampNeed& n : r.needs) place.distance_m.push_back(n.distance_m);
    const MeteredPlace guess = place;
    if (time_s && !(*time_s > 0.0)) return guess;
    if (time_s) *time_s /= kMostReadings;
    MeteredPlace best = guess;
    std::vector<glm::dvec2> read;  // octaves beyond the guess, stops over there
    for (double octaves = 0.0;; octaves += furtherOctaves(read)) {
        for (std::size_t n = 0; n < r.needs.size(); ++n)
            if (lampCannot(r.needs[n])) place.distance_m[n] = guess.distance_m[n] * std::exp2(octaves);
        auto moved = placedScene(options, scene, r, place.distance_m);
        if (!moved) return best;
        keepProbeAt(*moved, reading.probe->at_m);
        place.stopsOver = readThere(options, std::move(*moved), r, time_s);
        if (!place.stopsOver || !std::isfinite(place.stopsOver->value)) return best;
        const double over = std::abs(place.stopsOver->value);
        if (!best.stopsOver || over < std::abs(best.stopsOver->value)) best = place;
        read.emplace_back(octaves, place.stopsOver->value);
        if (over <= kNearEnough_stops || read.size() == kMostReadings) return best;
    }
}

}  // namespace keyfall
