// `meter`: the readings alone.
#include "commands.h"
#include "exit_codes.h"
#include "outputs.h"
#include "prepare.h"
#include "report.h"
#include "report_colour.h"
#include "scene_input.h"

namespace keyfall {

namespace {

/// Ctrl-C, then the time, then the sureness that `--noise` asked for.
Stopped whyStopped(const Report& report, const Options& options) {
    if (interruptFlag().load()) return Stopped::interrupted;
    if (readingsCutByTime(report)) return Stopped::time;
    return options.readingNoise_stops && readingsShortOfTarget(report) ? Stopped::noise : Stopped::no;
}

}  // namespace

int runMeter(const Options& options) {
    requireOutputs(options.scene, {{"--json", options.json}});
    SceneInput input = loadScene(options, false);
    if (!input.scene) return input.exitCode;

    Report report(*input.scene, options);
    const double start_s = steadySeconds();
    LightTables tables = prepare(*input.scene, options);
    const Stage stage(*input.scene, options.threads, std::move(tables));
    report.readings = takeReadings(stage, readingSettings(options, timeLeft_s(options, start_s)), report.counters);
    report.edges = measureShadowEdges(stage, readingSettings(options, timeLeft_s(options, start_s)), report.counters);
    if (input.scene->hasCamera) report.seen = lookAround(stage);
    readColours(report);
    report.stopped = whyStopped(report, options);

    publish(report, options);
    return report.stopped == Stopped::interrupted || report.stopped == Stopped::noise ? kCutShort : kDone;
}

}  // namespace keyfall
