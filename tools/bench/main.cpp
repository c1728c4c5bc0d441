// keyfall_bench: speed against what bounds it. Not a test: figures depend on the machine and on
// what else runs there, which is why each comes with repeats, median and spread.
#include <fmt/core.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <exception>

#include "bench.h"

namespace {

using keyfall::bench::Settings;

struct Part {
    const char* name;
    void (*run)(const Settings&);
};

constexpr std::array kParts = {Part{"kernel", keyfall::bench::benchKernelShare},
                               Part{"threads", keyfall::bench::benchThreads},
                               Part{"points", keyfall::bench::benchPoints},
                               Part{"meshes", keyfall::bench::benchMeshes},
                               Part{"meter", keyfall::bench::benchMeter},
                               Part{"sampler", keyfall::bench::benchSampler},
                               Part{"bake", keyfall::bench::benchBake},
                               Part{"mixer", keyfall::bench::benchMixer}};

}  // namespace

int main(int argc, char** argv) {
    CLI::App app("keyfall_bench: speed against what bounds it; value (lowest..highest of the repeats)");
    Settings settings;
    std::vector<std::string> wanted;
    std::vector<std::string> names;
    for (const Part& part : kParts) names.emplace_back(part.name);
    app.add_option("PART", wanted, "parts to run; default all")->check(CLI::IsMember(names));
    app.add_option("--repeats", settings.repeats, "of each measurement")->check(CLI::Range(1, 99));
    app.add_option("--width", settings.width_px, "of the demo's picture; half of it for `points`")
        ->check(CLI::Range(32, 4096));
    CLI11_PARSE(app, argc, argv);
    try {
        for (const Part& part : kParts) {
            if (!wanted.empty() && std::count(wanted.begin(), wanted.end(), part.name) == 0) continue;
            // `threads` and `meshes` start processes of their own and keep no thread pool before.
            keyfall::bench::inChild([&] {
                part.run(settings);
                return std::vector<double>();
            });
        }
    } catch (const std::exception& e) {
        fmt::print(stderr, "keyfall_bench: {}\n", e.what());
        return 1;
    }
    return 0;
}
