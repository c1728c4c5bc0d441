// `meter`: the readings alone.
#include "commands.h"
#include "exit_codes.h"
#include "outputs.h"
#include "report.h"
#include "scene_input.h"

namespace keyfall {

int runMeter(const Options& options) {
    requireOutputs(options.scene, {{"--json", options.json}});
    const SceneInput input = loadScene(options, false);
    if (!input.scene) return input.exitCode;

    Report report(*input.scene, options);
    const Stage stage(*input.scene, options.threads);
    report.readings = takeReadings(stage, readingSettings(options), report.counters);
    const bool cut = interruptFlag().load();
    if (cut) report.stopped = Stopped::interrupted;

    publish(report, options);
    return cut ? kCutShort : kDone;
}

}  // namespace keyfall
