// The program: reads the command line and calls a command. Not here: what commands do (commands.h).
#include <fmt/core.h>

#include <CLI/CLI.hpp>
#include <array>
#include <exception>
#include <new>

#include "commands.h"
#include "exit_codes.h"
#include "interrupt.h"
#include "outputs.h"
#include "prepare.h"
#include "renderer/film/memory.h"
#include "renderer/photograph/write_file.h"
#include "set_reader.h"

namespace keyfall {
namespace {

/// Commands of the contract that a later version brings: known by name, so that nobody takes the
/// refusal for a typing mistake.
constexpr std::array kLater = {"watch"};

/// What the command line asks for; main() runs it after parsing.
struct Asked {
    Options options;
    std::string listKind;
    std::function<int()> run;
};

void addCommands(CLI::App& app, Asked& asked) {
    Options& o = asked.options;
    CLI::App* render = app.add_subcommand("render", "the preview as the camera would record it, and the readings");
    addSceneOption(*render, o);
    addReportOptions(*render, o);
    addRunOptions(*render, o, "picture noise 0.2, 0.1 or 0.05 stop; readings aim at ± 0.05, 0.02 or 0.01");
    addTimeOption(*render, o);
    addLightsOption(*render, o);
    addPictureOptions(*render, o);
    render->footer("Example: keyfall render tea_caddy.toml --set light.key.power=1/4 --out caddy.png");
    render->callback([&asked] { asked.run = [&asked] { return runRender(asked.options); }; });

    CLI::App* meter = app.add_subcommand("meter", "the readings alone, no picture");
    addSceneOption(*meter, o);
    addReportOptions(*meter, o);
    addRunOptions(*meter, o, "readings aim at ± 0.05, 0.02 or 0.01 stop");
    addTimeOption(*meter, o);
    addLightsOption(*meter, o);
    addReadingOptions(*meter, o);
    meter->footer("Example: keyfall meter tea_caddy.toml --json -");
    meter->callback([&asked] { asked.run = [&asked] { return runMeter(asked.options); }; });

    CLI::App* settings = app.add_subcommand("settings", "camera settings and lamp powers that expose a probe, and what each costs");
    addSceneOption(*settings, o);
    addReportOptions(*settings, o);
    addRunOptions(*settings, o, "readings aim at ± 0.05, 0.02 or 0.01 stop");
    addTimeOption(*settings, o);
    addReadingOptions(*settings, o);
    addSettingsOptions(*settings, o);
    settings->footer("Example: keyfall settings tea_caddy.toml --probe label --move key");
    settings->callback([&asked] { asked.run = [&asked] { return runSettings(asked.options); }; });

    CLI::App* compare = app.add_subcommand("compare", "the scene's variants side by side at equal exposure: sheet, page, table");
    addSceneOption(*compare, o);
    addReportOptions(*compare, o);
    addRunOptions(*compare, o, "picture noise 0.2, 0.1 or 0.05 stop; readings aim at ± 0.05, 0.02 or 0.01");
    addTimeOption(*compare, o);
    addLightsOption(*compare, o);
    addCompareOptions(*compare, o);
    compare->footer("Example: keyfall compare caddy_hard_or_soft.toml --variants bowl,softbox --page caddy.html");
    compare->callback([&asked] { asked.run = [&asked] { return runCompare(asked.options); }; });

    CLI::App* series = app.add_subcommand("series", "readings over the values of one key or two: table, CSV, plot, contact sheet");
    addSeriesOptions(*series, o);
    addReportOptions(*series, o);
    addRunOptions(*series, o, "readings aim at ± 0.05, 0.02 or 0.01 stop; more samples on the sheet");
    addTimeOption(*series, o);
    addLightsOption(*series, o);
    addReadingOptions(*series, o);
    series->footer("Example: keyfall series tea_caddy.toml --vary board.fill.around.distance=10..60/6 --plot card.svg\n"
                   "         keyfall series tea_caddy.toml --vary light.key.power=1/8..1/1/4 --read \"stops(label)\" --part 2/8 --json part2.json\n"
                   "         keyfall series --merge part*.json --csv all.csv");
    series->callback([&asked] { asked.run = [&asked] { return runSeries(asked.options); }; });

    CLI::App* place = app.add_subcommand("place", "key values that reach a target, found in at most 25 evaluations of the readings");
    addSceneOption(*place, o);
    addPlaceOptions(*place, o);
    addReportOptions(*place, o);
    addRunOptions(*place, o, "readings aim at ± 0.05, 0.02 or 0.01 stop; the picture of --out at 0.2, 0.1 or 0.05");
    addTimeOption(*place, o);
    addLightsOption(*place, o);
    addReadingOptions(*place, o);
    place->footer("Example: keyfall place tea_caddy.toml --want \"contrast(lit-side, shadow-side) = 2 stops\" --vary board.fill.around.distance=10..60");
    place->callback([&asked] { asked.run = [&asked] { return runPlace(asked.options); }; });

    CLI::App* lamp = app.add_subcommand("lamp", "measures a lamp with its modifier: flux, intensity, angles, evenness, colour");
    addLampOptions(*lamp, o);
    addReportOptions(*lamp, o);
    addRunOptions(*lamp, o, "a quarter, one or four times the points; draft leaves out the noise of the table");
    lamp->footer("Example: keyfall lamp tea_caddy.toml --light key --plot key.svg\n"
                 "         keyfall lamp --lamp flash-tube --modifier bowl-18 --lumen-seconds 12000");
    lamp->callback([&asked] { asked.run = [&asked] { return runLamp(asked.options); }; });

    CLI::App* check = app.add_subcommand("check", "lists every mistake and every default; renders nothing");
    addSceneOption(*check, o);
    addReportOptions(*check, o);
    check->footer("Example: keyfall check tea_caddy.toml");
    check->callback([&asked] { asked.run = [&asked] { return runCheck(asked.options); }; });

    CLI::App* list = app.add_subcommand("list", "what the library holds, with values and sources");
    list->add_option("KIND", asked.listKind,
                     "lamp, modifier, fabric, gel, material, surface or spectrum; default all")
        ->type_name("");
    addReportOptions(*list, o);
    list->footer("Example: keyfall list lamp");
    list->callback([&asked] { asked.run = [&asked] { return runList(asked.listKind, asked.options); }; });

    for (const char* name : kLater) {
        CLI::App* later = app.add_subcommand(name, "not in this version")->allow_extras()->group("");
        later->set_help_flag();
        later->callback([&asked, name] {
            asked.run = [name] {
                fmt::print(stderr, "keyfall: error: command `{}` is not in this version; render, meter, settings, compare, series, place, lamp, check and list are\n", name);
                return static_cast<int>(kBadCommandLine);
            };
        });
    }
}

int run(int argc, char** argv) {
    CLI::App app("keyfall: a physically based preview of tabletop light, in photometric units and stops");
    app.name("keyfall");
    app.set_version_flag("--version", std::string("keyfall ") + KEYFALL_VERSION);
    app.require_subcommand(1);
    app.footer("`keyfall COMMAND --help` tells each command's options and an example.");
    Asked asked;
    addCommands(app, asked);
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& e) {
        return app.exit(e) == 0 ? kDone : kBadCommandLine;
    }
    catchInterrupts();
    try {
        return asked.run();
    } catch (const WriteError& e) {
        fmt::print(stderr, "{}\n", e.what());
        return kCannotWrite;
    } catch (const CommandLineError& e) {
        fmt::print(stderr, "keyfall: error: {}\n", e.what());
        return kBadCommandLine;
    } catch (const UnreadableSet& e) {
        return e.exitCode;
    } catch (const SceneError& e) {
        fmt::print(stderr, "{}: error: {}\n", asked.options.scene, e.what());
        return kBadScene;
    } catch (const MemoryError& e) {
        fmt::print(stderr, "{}: error: {}\n", asked.options.scene, e.what());
        return kBadScene;
    } catch (const std::bad_alloc&) {
        fmt::print(stderr, "{}: error: the scene wants more memory than there is; allowed is what is free; set a smaller picture.width, or take a coarser mesh\n",
                   asked.options.scene);
        return kBadScene;
    } catch (const std::exception& e) {
        fmt::print(stderr, "keyfall: internal error: {}\n", e.what());
        return kInternal;
    }
}

}  // namespace
}  // namespace keyfall

int main(int argc, char** argv) { return keyfall::run(argc, argv); }
