// How sure a table itself is: the noise of its photons in what it sends along the axis, which no spread of
// readings by one table shows. Not here: its coarseness (LampBench::tracedIntensity_perSr tells it).
#pragma once

#include <optional>

#include "renderer/meter/lamp_bench.h"
#include "renderer/meter/readings.h"

namespace keyfall {

/// Readings by sixteen tables, each of a sixteenth of the photons and its own seed: one replicate a table.
/// Their mean is as noisy as the one table of all photons, if noise falls as 1/sqrt(photons); where it falls
/// faster, the interval is too wide and not too narrow.
struct TableNoise {
    ReplicateBands axis_perSr;     ///< far on the axis
    ReplicateBands at1m_perM2;     ///< on the axis, 1 m from the exit
};

/// `photons`: of the table in use. `points` per replicate, a power of two, at each place. Empty when stopped.
std::optional<TableNoise> tableNoise(const LampSubject& subject, std::uint64_t photons, std::uint32_t points,
                                     const RunSettings& run);

/// `m` with the independent error `half` on top of its own.
Measured widened(const Measured& m, double half);

}  // namespace keyfall
