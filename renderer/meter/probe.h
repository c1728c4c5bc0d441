// A probe's raw reading: transfer from every light, in bands, as 16 replicates. What a photographer
// reads from it (lux, f-numbers, stops) is in readings.h.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "renderer/film/film.h"
#include "renderer/film/reading.h"
#include "renderer/stage/stage.h"
#include "renderer/transport/camera_rays.h"
#include "renderer/transport/path.h"
#include "renderer/transport/run.h"
#include "scene/scene.h"

namespace keyfall {

using ReplicateBands = std::array<Bands, kReplicates>;

/// Incident and dome probes: illuminance per unit flux, 1/m^2. Spot: luminance per unit flux,
/// 1/(sr m^2). Layers as the Film's.
struct ProbeTransfer {
    std::vector<ReplicateBands> layer;               ///< [layer]
    std::vector<std::vector<ReplicateBands>> board;  ///< [board][layer]: by paths that touched it
    std::vector<ReplicateBands> caustic;             ///< [layer]: by rough - smooth chain - lamp
    std::vector<ReplicateBands> straight;            ///< [layer]: spot probes, lamps without a turn
    std::uint32_t pointsPerReplicate = 0;
    bool interrupted = false;  ///< stopped within a pass: some replicates have fewer points, no reading
    bool timeIsUp = false;  ///< fewer points than wanted, as no more whole passes fitted
};

/// Sum over layers of amount * luminance weight * transfer, replicate by replicate.
Reading total(const std::vector<ReplicateBands>& layers, const std::vector<LayerMix>& mix);

/// False when every layer is off, so that darkness is an answer and not a miss.
bool anyLight(const std::vector<LayerMix>& mix);

/// The ray of a spot meter: from the lens centre, uniform over the cone of solid angle that it
/// measures. `u` in [0, 1)^2.
Ray spotRay(glm::vec3 lens_m, const Probe& probe, glm::vec2 u);

struct ReadingSettings {
    RunSettings run;  ///< time_s: of one reading in readProbe, of all together in takeReadings
    double target_stops = 0.02;             ///< wanted half width of the 95 % interval
    std::uint32_t points = 0;               ///< per replicate, a power of two; 0: as the target asks
    /// Per replicate, by probe's name: these, whatever a pilot would ask for. Two readings share the noise of
    /// the points that both have, so forms of a set that are held against each other agree on them.
    std::map<std::string, std::uint32_t> agreed;
    std::uint32_t leastPoints = 64;         ///< per replicate
    std::uint32_t mostPoints = 1U << 14U;   ///< per replicate
};

/// Points per replicate that a pilot of `pilotPoints` asks for: a power of two. A pilot with a
/// replicate that found nothing says that the light is rare, not how noisy it is: the most points.
std::uint32_t pointsFor(const Reading& pilot, std::uint32_t pilotPoints, const ReadingSettings& s);

/// Points per replicate of a reading: as agreed or set, or as a pilot asks for. With every light of `mix`
/// off, the fewest.
std::uint32_t pointsWanted(const Stage& stage, const Probe& probe, const std::vector<LayerMix>& mix,
                           std::uint32_t stream, const ReadingSettings& settings, PathCounters& counters);

/// Traces exactly `points` (a power of two) in each of 16 scrambles.
ProbeTransfer traceProbe(const Stage& stage, const Probe& probe, std::uint32_t points,
                         std::uint32_t stream, const RunSettings& run, PathCounters& counters);

/// A pilot decides the number of points, then fresh scrambles take the reading: a stop rule that
/// looks at the very numbers it stops would be biased low and its interval too narrow (Kirk &
/// Arvo, SIGGRAPH 1991, from memory). With every light of `mix` off, the fewest points. The points
/// come in passes that double them; of a limited time, the whole passes that fit, and the first one
/// always: when it ends does not depend on what it found, so the interval stays honest.
ProbeTransfer readProbe(const Stage& stage, const Probe& probe, const std::vector<LayerMix>& mix,
                        std::uint32_t stream, const ReadingSettings& settings,
                        PathCounters& counters);

}  // namespace keyfall
