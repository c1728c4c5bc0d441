// What a photographer reads from the probes: lux, f-numbers, stops, what a card lifts, ratios; each
// with its 95 % interval. Not here: tracing (probe.h), printing (tools/keyfall).
#pragma once

#include <array>
#include <glm/glm.hpp>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "renderer/meter/probe.h"

namespace keyfall {

/// A figure and its 95 % interval.
struct Measured {
    double value = 0.0;
    Interval interval95;
};

/// Mean and interval of a reading.
Measured measured(const Reading& reading);
/// log2(a/b) and its interval; empty where either is not safely above 0: a missing reading, never 0.
std::optional<Measured> stopsBetween(const Reading& a, const Reading& b);

struct LightShare {
    std::string light;            ///< a light's name, "ambient" or "glow"
    Reading continuous;           ///< lx, or cd/m^2 for a spot
    Reading exposure;             ///< lx*s, or cd*s/m^2 for a spot
    Measured share_percent;       ///< of the probe's exposure; 0 where that has no reading
};

struct BoardShare {
    std::string board;
    Measured share_percent;
    std::optional<Measured> lifts_stops;  ///< empty when all light comes by this board
};

/// One probe as read. Incident and dome: illuminance and luminous exposure; spot: luminance and
/// luminous energy. `exposure` counts flash plus continuous light times the shutter.
struct ProbeReading {
    const Probe* probe = nullptr;
    std::string name;  ///< the probe's; of the default sides, as they turned out (takeReadings)
    /// A light is on, but what was found of it is too little for a figure: a report says null.
    bool missing = false;
    Reading continuous;
    Reading exposure;
    std::vector<LightShare> byLight;
    std::vector<BoardShare> byBoard;
    std::optional<Measured> aperture;            ///< f-number for correct exposure
    std::optional<Measured> stopsOver;           ///< over the set f-number; spot: from 18 % grey
    std::optional<Measured> pictureStopsOver;    ///< after close-up loss and calibration
    double closeUp_stops = 0.0;
    double causticShare = 0.0;                   ///< of the exposure, by lamps found through glass
    glm::dvec3 xyz{0.0};                         ///< of the exposure: colour of the light there
    std::array<glm::dvec3, kReplicates> xyzByReplicate{};  ///< their mean is `xyz`
    std::uint32_t points = 0;                    ///< per replicate
    bool timeIsUp = false;                       ///< fewer points than wanted
    /// What it was made from, of takeReadings: other powers and camera settings need no other trace.
    std::shared_ptr<const ProbeTransfer> transfer;
};

struct RatioReading {
    std::string lit;
    std::string shadow;
    Measured stops;      ///< contrast = log2(lit / shadow), all lights on
    Measured kf_f;       ///< (key+fill):fill = 2^stops
    Measured k_f;        ///< key:fill, one less
};

/// Turns a trace into readings for the scene as set.
ProbeReading readingOf(const Scene& scene, const Probe& probe, const ProbeTransfer& transfer);

/// Traces and reads every probe of the stage's scene, in its order. Interrupted, it returns those
/// that were finished; half a reading would look like a dark one. A limited time is shared evenly
/// among the probes still to be read; when it is over, the rest is left out, but the first never.
/// Of the scene's default probes the brighter side is called `lit-side` and comes first: the reader
/// names them by direct light alone, and cards and walls have their say.
std::vector<ProbeReading> takeReadings(const Stage& stage, const ReadingSettings& settings,
                                       PathCounters& counters);

/// Points per replicate that takeReadings would trace, by the probe's name; its pilots alone are traced.
std::map<std::string, std::uint32_t> pointsOfReadings(const Stage& stage, const ReadingSettings& settings,
                                                      PathCounters& counters);

/// The same readings once powers, shutter, ISO or aperture of their scene have changed: exact, nothing
/// is traced. Of default probes the sides are named anew.
void readAgain(const Scene& scene, std::vector<ProbeReading>& readings);

/// Lit against shadow side where the scene has both, and the first incident probe against every
/// other one. The brighter of a pair is its lit side.
std::vector<RatioReading> ratiosOf(const std::vector<ProbeReading>& readings);

/// The light at the subject, for white balance "auto": the first incident or dome probe that was
/// read. Null where there is none: a spot's colour is the surface's as much as the light's.
const ProbeReading* whiteProbe(const std::vector<ProbeReading>& readings);
/// Its XYZ with Y = 1; D65 without one.
glm::dvec3 automaticWhite(const std::vector<ProbeReading>& readings);

}  // namespace keyfall
