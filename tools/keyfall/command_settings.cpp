// `settings`: camera settings and lamp powers that give the wanted exposure, with what each costs.
#include <fmt/core.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "commands.h"
#include "exit_codes.h"
#include "outputs.h"
#include "prepare.h"
#include "report_colour.h"
#include "report_mirrored.h"
#include "scene_input.h"
#include "scene/diagnostics.h"
#include "settings_place.h"
#include "settings_report.h"

namespace keyfall {
namespace {

template <class Things>
std::string namesOf(const Things& things) {
    std::vector<std::string> names;
    for (const auto& thing : things) names.push_back(thing.name);
    return names.empty() ? "none" : joined(names);
}

/// Throws CommandLineError for a probe that is not there, or scenes in which none is the usual one.
void requireProbe(const Scene& scene, const std::string& name) {
    const auto is = [&](const Probe& p) { return name.empty() ? p.kind != ProbeKind::spot : p.name == name; };
    if (std::any_of(scene.probes.begin(), scene.probes.end(), is)) return;
    if (!name.empty())
        throw CommandLineError(
            fmt::format("--probe {}: the scene has no such probe; it has {}", name, namesOf(scene.probes)));
    if (scene.probes.empty()) throw CommandLineError("the scene has no probe to expose for; add a [[probe]]");
    throw CommandLineError(fmt::format(
        "the scene has spot probes alone; add an incident one, or name a spot by --probe ({}): it is then "
        "placed at 18 % grey",
        namesOf(scene.probes)));
}

/// The lamps that may move. "none" holds all where they are. Throws CommandLineError for others than the
/// scene's.
std::vector<std::string> movingLamps(const Scene& scene, const std::vector<std::string>& asked) {
    for (const std::string& name : asked) {
        const auto found = std::find_if(scene.lights.begin(), scene.lights.end(),
                                        [&](const Light& l) { return l.name == name; });
        if (found == scene.lights.end() && name == "none") continue;
        if (found == scene.lights.end())
            throw CommandLineError(fmt::format("--move {}: the scene has no such light; it has {}", name,
                                               namesOf(scene.lights)));
        if (!(found->strength() > 0.0))
            throw CommandLineError(
                fmt::format("--move {}: this light is off or at power 0; switch it on first, for example by "
                            "--set light.{}.power=1/4",
                            name, name));
    }
    return asked;
}

SettingsReport settingsFor(const Report& report, const ProbeReading& reading, const Options& options,
                           std::optional<double> time_s) {
    const Scene& scene = report.scene;
    SettingsReport r;
    r.probe = reading.name;
    r.input = settingsInput(scene, reading, automaticWhite(report.readings),
                            movingLamps(scene, options.settings.move));
    // As far as the camera sees it: the back of a product need not be sharp.
    if (const auto& seen = report.seen->productDepth)
        r.input.subject_m = glm::dvec2(seen->nearest_m, seen->farthest_m);
    const SettingsRanges ranges = rangesOf(r.input);
    r.asSet = settingAsSet(r.input);
    r.choices = rankedSettings(r.input, possibleSettings(r.input, ranges),
                               static_cast<std::size_t>(options.settings.rows));
    if (r.choices.empty()) {
        r.nearest = nearestSetting(r.input, ranges);
        r.shortWithinLimits_stops = shortWithinLimits_stops(r.input, ranges);
    }
    r.needs = lampNeeds(r.input);
    for (std::size_t n = 0; n < r.needs.size(); ++n) r.short_stops.push_back(shortOf(r.input, n));
    if (std::none_of(r.needs.begin(), r.needs.end(), lampCannot)) return r;
    r.changes = oneChanges(r.input, ranges);
    r.place = meteredPlace(options, scene, reading, r, time_s);
    return r;
}

Stopped whyStopped(const Report& report, const Options& options) {
    if (interruptFlag().load()) return Stopped::interrupted;
    if (readingsCutByTime(report)) return Stopped::time;
    return options.readingNoise_stops && readingsShortOfTarget(report) ? Stopped::noise : Stopped::no;
}

void publishSettings(const Report& report, const SettingsReport& settings, const Options& options) {
    clearProgressLine();
    if (!options.quiet && options.json != "-") writeStandardOutput(textOf(report, settings));
    if (!options.json.empty()) writeText(options.json, textOf(jsonOf(report, settings)));
}

}  // namespace

int runSettings(const Options& options) {
    requireOutputs(options.scene, {{"--json", options.json}});
    SceneInput input = loadScene(options, true, true);
    if (!input.scene) return input.exitCode;
    const Scene& scene = *input.scene;
    requireProbe(scene, options.settings.probe);
    movingLamps(scene, options.settings.move);

    Report report(scene, options);
    const double start_s = steadySeconds();
    LightTables tables = prepare(*input.scene, options);
    const Stage stage(scene, options.threads, std::move(tables));
    report.readings =
        takeReadings(stage, readingSettings(options, timeLeft_s(options, start_s)), report.counters);
    report.seen = lookAround(stage);
    readColours(report);
    report.stopped = whyStopped(report, options);

    const ProbeReading* reading = settingsProbe(report.readings, options.settings.probe);
    if (reading == nullptr || !reading->aperture)
        publish(report, options);  // the warnings say why
    else
        publishSettings(report, settingsFor(report, *reading, options, timeLeft_s(options, start_s)),
                        options);
    return report.stopped == Stopped::interrupted || report.stopped == Stopped::noise ? kCutShort : kDone;
}

}  // namespace keyfall
