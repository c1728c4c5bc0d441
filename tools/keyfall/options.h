// The options that commands share. Not here: what a command does with them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "renderer/meter/probe.h"
#include "renderer/transport/render.h"

namespace CLI {
class App;  // its header costs seconds a file; only options.cpp and main.cpp need it
}

namespace keyfall {

/// What `lamp` measures, and where its plots go.
struct LampOptions {
    std::string light;                    ///< of the scene
    std::string lamp;                     ///< of the library, with `modifier`
    std::string modifier = "none";
    std::optional<double> lumens;
    std::optional<double> lumenSeconds;
    std::string plot, front, ies;         ///< files; empty: none
};

/// What `settings` exposes for, and what may move.
struct SettingsOptions {
    std::string probe;                    ///< empty: the first incident one
    std::vector<std::string> move;        ///< lamps; empty: all that are on
    int rows = 8;
};

/// What `compare` shows, and where it goes.
struct CompareOptions {
    std::vector<std::string> variants;     ///< in this order; empty: the set as written, then all of the file
    std::vector<std::string> live;         ///< whose layers the page holds; empty: the first two
    std::vector<std::string> differences;  ///< FILE.png, or A,B=FILE.png
    std::string page, pictures;            ///< file; prefix of files; empty: none
};

/// What `series` varies, reads and writes.
struct SeriesOptions {
    std::vector<std::string> vary, read;  ///< KEY=..., figures; `place` varies too
    std::string csv, plot, sheet;         ///< files; empty: none
    std::string part;                     ///< "2/8"; empty: all rows
    std::vector<std::string> merge;       ///< JSON files of parts
};

/// What `place` aims at; its keys are SeriesOptions::vary.
struct PlaceOptions {
    std::vector<std::string> want;        ///< "contrast(a, b) = 2 stops"
};

struct Options {
    std::string scene;
    std::vector<std::string> set;
    std::vector<std::string> lights;  ///< which are on; empty: as the scene has them
    std::string json;             ///< file, or "-" for standard output; empty: none
    std::string out;              ///< picture; empty: the scene's name beside the caller
    std::string exr;
    std::string maps;             ///< prefix of three map files; empty: none
    std::string detail;           ///< part of the picture in the sensor's pixels; empty: none
    std::string quality = "preview";
    std::optional<double> noise_stops;          ///< of the picture
    std::optional<double> readingNoise_stops;   ///< of the readings, standard error
    std::optional<double> time_s;
    int samples = 0;              ///< a pixel
    int readingPaths = 0;         ///< a reading, all replicates together
    std::uint32_t seed = 1;
    int threads = 0;
    bool quiet = false;
    bool noCache = false;
    LampOptions lamp;
    SettingsOptions settings;
    CompareOptions compare;
    SeriesOptions series;
    PlaceOptions place;
};

/// Noise of the picture (95th percentile) and half width of a reading's interval, in stops.
struct Quality {
    double noise_stops;
    double reading_stops;
};
Quality qualityOf(const std::string& name);

void addSceneOption(CLI::App& command, Options& options);   ///< SCENE and --set
void addReportOptions(CLI::App& command, Options& options); ///< --json, --quiet
void addRunOptions(CLI::App& command, Options& options, const char* quality);  ///< --quality, which means `quality`, --seed, --threads, --no-cache
void addTimeOption(CLI::App& command, Options& options);   ///< --time
void addLightsOption(CLI::App& command, Options& options); ///< --lights
void addLampOptions(CLI::App& command, Options& options);   ///< SCENE or --lamp; the plots, --ies
void addSettingsOptions(CLI::App& command, Options& options); ///< --probe, --move, --rows
void addSeriesOptions(CLI::App& command, Options& options);  ///< SCENE or --merge; --vary, --read, outputs, parts
void addPlaceOptions(CLI::App& command, Options& options);   ///< --want, --vary, --out
void addPictureOptions(CLI::App& command, Options& options);///< --out, --exr, --maps; --noise, --samples of the picture
void addCompareOptions(CLI::App& command, Options& options); ///< --variants, --out, --page, --live, --pictures, --difference; --noise, --samples of the pictures
void addReadingOptions(CLI::App& command, Options& options);///< --noise, --samples of the readings

/// Without time limit: seed, threads, Ctrl-C.
RunSettings measureSettings(const Options& options);

/// Half width of the 95 % interval that a reading aims at.
double readingTarget_stops(const Options& options);

/// What is left of --time when the work began at `start_s` (steadySeconds); empty without a limit.
std::optional<double> timeLeft_s(const Options& options, double start_s);
/// `time_s`: what the picture, or all readings together, may take.
RenderSettings renderSettings(const Options& options, std::optional<double> time_s);
ReadingSettings readingSettings(const Options& options, std::optional<double> time_s);

}  // namespace keyfall
