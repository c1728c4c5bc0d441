// The picture: passes of camera paths into a Film. Not here: what a path does (path.h).
#pragma once

#include <cstdint>

#include "renderer/film/film.h"
#include "renderer/stage/stage.h"
#include "renderer/transport/path.h"
#include "renderer/transport/run.h"

namespace keyfall {

struct RenderSettings {
    RunSettings run;
    int samples = 0;             ///< a power of two >= 4, all replicates together; 0: until `noise`
    double noise_stops = 0.1;    ///< 95th percentile of the picture's standard error
    int mostSamples = 4096;      ///< where `noise` gives up
    bool independentPoints = false;  ///< the benchmark's opponent: no Sobol
};

struct RenderResult {
    int samples = 0;             ///< per pixel, of the last whole pass
    double noise_stops = 0.0;
    double seconds = 0.0;
    Stopped stopped = Stopped::no;
    PathCounters counters;
    /// Share of the picture's luminance that came by caustic paths, per layer.
    std::vector<double> causticShare;
};

/// Traces passes that double the samples (4, 8, 16 ...) until the settings are met. Whole passes
/// only, also for `time_s`, so equal input gives equal bytes; Ctrl-C alone leaves tiles uneven.
/// Requires a Film made from layerInfos(stage.scene()).
RenderResult render(const Stage& stage, Film& film, const RenderSettings& settings);

}  // namespace keyfall
