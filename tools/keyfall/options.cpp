#include "options.h"

#include <CLI/CLI.hpp>
#include <algorithm>

#include "interrupt.h"
#include "progress.h"

namespace keyfall {

Quality qualityOf(const std::string& name) {
    if (name == "draft") return {0.2, 0.05};
    if (name == "final") return {0.05, 0.01};
    return {0.1, 0.02};
}

void addSceneOption(CLI::App& command, Options& o) {
    command.add_option("SCENE", o.scene, "the scene file")->required()->type_name("");
    command.add_option("--set", o.set, "changes a key, for example light.key.power=1/4; repeatable")
        ->type_name("KEY=VALUE")
        ->take_all();
}

void addReportOptions(CLI::App& command, Options& o) {
    command.add_option("--json", o.json, "writes the report as JSON; - is standard output")->type_name("FILE");
    command.add_flag("--quiet", o.quiet, "prints nothing but errors");
}

void addRunOptions(CLI::App& command, Options& o, const char* quality) {
    command.add_option("--quality", o.quality, std::string("draft, preview (default) or final: ") + quality)
        ->check(CLI::IsMember({"draft", "preview", "final"}))
        ->type_name("NAME");
    command.add_option("--seed", o.seed, "another seed gives other noise")->type_name("N");
    command.add_option("--threads", o.threads, "threads to use; 0 is all cores")
        ->check(CLI::Range(0, 1024))
        ->type_name("N");
    command.add_flag("--no-cache", o.noCache, "neither reads nor keeps tables of modifiers on disk");
}

void addTimeOption(CLI::App& command, Options& o) {
    command.add_option("--time", o.time_s, "ends the work after the whole passes that fit; modifiers' tables count and are made whole")
        ->check(CLI::PositiveNumber)
        ->type_name("SECONDS");
}

void addLightsOption(CLI::App& command, Options& o) {
    command.add_option("--lights", o.lights, "which lights are on, by name; ambient is the frame with the flash off; repeatable")
        ->type_name("NAME,...")
        ->delimiter(',')
        ->take_all()
        ->expected(1);
}

namespace {

CLI::Validator powerOfTwo(int least, int most) {
    return {[least, most](std::string& text) {
                int n = 0;
                const bool whole = CLI::detail::lexical_cast(text, n);
                const bool good = whole && n >= least && n <= most && (n & (n - 1)) == 0;
                return good ? std::string()
                            : "samples are a power of two from " + std::to_string(least) + " to " +
                                  std::to_string(most) + ", not " + text;
            },
            "N"};
}

}  // namespace

namespace {

void addPictureNoise(CLI::App& command, Options& o) {
    CLI::Option* samples =
        command.add_option("--samples", o.samples, "samples a pixel, a power of two, whatever the noise")
            ->check(powerOfTwo(4, 65536));
    command.add_option("--noise", o.noise_stops,
                       "stops when 95 % of the pixels are surer than this many stops")
        ->check(CLI::PositiveNumber)
        ->type_name("STOPS")
        ->excludes(samples);
}

}  // namespace

void addPictureOptions(CLI::App& command, Options& o) {
    command.add_option("--out", o.out, "the picture; default: the scene's name with .png, here")->type_name("FILE");
    command.add_option("--exr", o.exr, "also writes the layers, one a light, as OpenEXR")->type_name("FILE");
    command.add_option("--maps", o.maps, "also writes PREFIX-stops.png, -clipped.png and -mirrors.png: stops from mid grey, what clips, what glossy faces mirror")->type_name("PREFIX");
    command.add_option("--detail", o.detail, "also writes what is sharp in the sensor's own pixels, with its noise, as PNG")
        ->type_name("FILE");
    addPictureNoise(command, o);
}

void addCompareOptions(CLI::App& command, Options& o) {
    CompareOptions& c = o.compare;
    command.add_option("--variants", c.variants, "which are shown, in this order; as-written is the set itself; default: that, then all of the file")
        ->type_name("NAME,...")
        ->delimiter(',')
        ->take_all()
        ->expected(1);
    command.add_option("--out", o.out, "the sheet as PNG; default: the scene's name with -compare.png, here")->type_name("FILE");
    command.add_option("--page", c.page, "also writes a page that opens without a network, and re-lights two variants")->type_name("FILE");
    command.add_option("--live", c.live, "the variants that the page re-lights, at most two; default the first two")
        ->type_name("NAME,NAME")
        ->delimiter(',')
        ->take_all()
        ->expected(1);
    command.add_option("--pictures", c.pictures, "also writes each variant's picture as PREFIX-NAME.png")->type_name("PREFIX");
    command.add_option("--difference", c.differences, "also writes where B is brighter or darker than A, in stops; without names: the first two; repeatable")
        ->type_name("A,B=FILE")
        ->take_all()
        ->expected(1);
    addPictureNoise(command, o);
}

void addReadingOptions(CLI::App& command, Options& o) {
    CLI::Option* samples =
        command.add_option("--samples", o.readingPaths, "paths a reading, a power of two, however sure it is")
            ->check(powerOfTwo(kReplicates, 1 << 22));
    command.add_option("--noise", o.readingNoise_stops,
                       "each reading aims at this standard error; its 95 % interval is 2.13 times as wide to each side")
        ->check(CLI::PositiveNumber)
        ->type_name("STOPS")
        ->excludes(samples);
}

void addLampOptions(CLI::App& command, Options& o) {
    LampOptions& l = o.lamp;
    CLI::Option* scene = command.add_option("SCENE", o.scene, "a scene file, with --light; or --lamp and --modifier")->type_name("");
    command.add_option("--set", o.set, "changes a key of the scene; repeatable")->type_name("KEY=VALUE")->take_all()->needs(scene);
    command.add_option("--light", l.light, "which light of the scene; not needed when it has one")->type_name("NAME")->needs(scene);
    CLI::Option* lamp = command.add_option("--lamp", l.lamp, "a lamp of the library")->type_name("NAME")->excludes(scene);
    command.add_option("--modifier", l.modifier, "a modifier of the library; default none, the bare lamp")->type_name("NAME")->needs(lamp);
    CLI::Option* lumens = command.add_option("--lumens", l.lumens, "what the bare lamp sends, continuous; default 1000")
                              ->check(CLI::PositiveNumber)->type_name("LM")->needs(lamp);
    command.add_option("--lumen-seconds", l.lumenSeconds, "what the bare lamp sends, a flash")
        ->check(CLI::PositiveNumber)->type_name("LMS")->needs(lamp)->excludes(lumens);
    command.add_option("--plot", l.plot, "intensity by direction as a polar plot, .svg or .png")->type_name("FILE");
    command.add_option("--front", l.front, "the front's luminance from far on the axis, .svg or .png")->type_name("FILE");
    command.add_option("--ies", l.ies, "intensity by direction as LM-63-2019, .ies")->type_name("FILE");
    // Known, so that what follows them is not taken for the scene; runLamp refuses them.
    command.add_option("--time", o.time_s)->group("");
    command.add_option("--noise", o.readingNoise_stops)->group("");
    command.add_option("--samples", o.readingPaths)->group("");
}

void addSettingsOptions(CLI::App& command, Options& o) {
    SettingsOptions& s = o.settings;
    command.add_option("--probe", s.probe, "the probe that is exposed for; default the first incident one")->type_name("NAME");
    command.add_option("--move", s.move, "a lamp whose power may change; repeatable; default all, together; none: no lamp")
        ->type_name("NAME")
        ->take_all();
    command.add_option("--lights", o.lights)->group("");  // known, so that runSettings can say where it belongs
    command.add_option("--rows", s.rows, "how many settings are shown at most; default 8")->check(CLI::Range(1, 100))->type_name("N");
}

void addSeriesOptions(CLI::App& command, Options& o) {
    SeriesOptions& s = o.series;
    command.add_option("SCENE", o.scene, "the scene file; not needed with --merge")->type_name("");
    command.add_option("--set", o.set, "changes a key, for example light.key.power=1/4; repeatable")->type_name("KEY=VALUE")->take_all();
    command.add_option("--vary", s.vary, "a key and its values: KEY=10..60/6 (six, both ends in; powers and times in even stops) or KEY=10,15,20; one or two")
        ->type_name("KEY=VALUES")->take_all()->expected(1);
    command.add_option("--read", s.read, "a figure: stops(PROBE), contrast(PROBE, PROBE), background(), ...; repeatable")
        ->type_name("FIGURE")->take_all()->expected(1);
    command.add_option("--csv", s.csv, "the table as CSV")->type_name("FILE");
    command.add_option("--plot", s.plot, "each figure against the first key, with its interval; .svg or .png")->type_name("FILE");
    command.add_option("--sheet", s.sheet, "a contact sheet, a small picture of each row; .png or .svg")->type_name("FILE");
    command.add_option("--part", s.part, "the second of eight shares of the rows, say; its --json goes to --merge")->type_name("2/8");
    command.add_option("--merge", s.merge, "puts the JSON of all parts together, in place of a run")->type_name("FILE...")->expected(-1);
}

void addPlaceOptions(CLI::App& command, Options& o) {
    command.add_option("--want", o.place.want, "a figure and its target: \"contrast(A, B) = 2 stops\"; =, < or >; repeatable")
        ->type_name("TARGET")->required()->take_all()->expected(1);
    command.add_option("--vary", o.series.vary, "a key and its bounds: KEY=10..60; repeatable")
        ->type_name("KEY=BOUNDS")->required()->take_all()->expected(1);
    command.add_option("--out", o.out, "also renders the set so placed")->type_name("FILE");
}

std::optional<double> timeLeft_s(const Options& o, double start_s) {
    if (!o.time_s) return {};
    return std::max(0.0, *o.time_s - (steadySeconds() - start_s));
}

double readingTarget_stops(const Options& o) {
    if (o.readingNoise_stops) return kStudent95_df15 * *o.readingNoise_stops;
    return qualityOf(o.quality).reading_stops;
}

namespace {

RunSettings runSettings(const Options& o, const char* doing, std::optional<double> time_s) {
    RunSettings run;
    run.seed = o.seed;
    run.threads = o.threads;
    run.time_s = time_s;
    run.stop = &interruptFlag();
    if (!o.quiet) run.tell = progressLine(doing);
    return run;
}

}  // namespace

RunSettings measureSettings(const Options& o) {
    RunSettings run;
    run.seed = o.seed;
    run.threads = o.threads;
    run.stop = &interruptFlag();
    return run;
}

RenderSettings renderSettings(const Options& o, std::optional<double> time_s) {
    RenderSettings s;
    s.run = runSettings(o, "picture", time_s);
    s.samples = o.samples;
    s.noise_stops = o.noise_stops.value_or(qualityOf(o.quality).noise_stops);
    return s;
}

ReadingSettings readingSettings(const Options& o, std::optional<double> time_s) {
    ReadingSettings s;
    s.run = runSettings(o, "readings", time_s);
    s.target_stops = readingTarget_stops(o);
    s.points = static_cast<std::uint32_t>(o.readingPaths / kReplicates);
    return s;
}

}  // namespace keyfall
