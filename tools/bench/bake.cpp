// How long a modifier's light is traced before anything is seen: what the first run with it waits for.
#include <fmt/core.h>

#include "bench.h"
#include "renderer/transport/bake.h"
#include "scene/library.h"
#include "scene/modifier_build.h"

namespace keyfall::bench {
namespace {

void measure(const Library& library, const char* lamp, const char* modifier, int repeats, double goal_s) {
    const LampModel& model = library.lamps.at(lamp);
    const ModifierBody body =
        buildModifier(library.modifiers.at(modifier), model.shape, library.materials, library.fabrics);
    const Material& surface = library.materials.at(model.surface);
    BakeSettings settings;
    settings.run.threads = 2;
    std::vector<double> wall_s, cpu_s;
    std::uint64_t photons = 0;
    for (int i = 0; i < repeats; ++i) {
        const double from_s = steadySeconds(), cpuFrom_s = cpuSeconds();
        photons = bake(model.shape, surface, body, settings).photons;
        wall_s.push_back(steadySeconds() - from_s);
        cpu_s.push_back(cpuSeconds() - cpuFrom_s);
    }
    const Spread s = spreadOf(wall_s);
    printGoal(fmt::format("{} in {}", lamp, modifier), text(s, 2) + " s", fmt::format("<= {} s", goal_s),
              s.median <= goal_s);
    fmt::print("    {} photons, processor time {} s\n", photons, text(spreadOf(cpu_s), 2));
}

}  // namespace

void benchBake(const Settings& settings) {
    const Library library = readLibrary();
    fmt::print("Bake: near-field table of a modifier, 2 threads, wall clock\n");
    measure(library, "flash-bulb", "bowl-18", settings.repeats, 0.5);
    measure(library, "flash-tube", "bowl-18", settings.repeats, 0.5);
    measure(library, "flash-tube", "softbox-60x60-double", settings.repeats, 4.0);
}

}  // namespace keyfall::bench
