// The bake: light traced once from a lamp through its modifier; what leaves is a near-field table.
// Not here: how the table lights a set (path.h), keeping it on disk (tools/keyfall).
#pragma once

#include <cstdint>

#include "renderer/transport/run.h"
#include "scene/near_field_table.h"
#include "scene/scene.h"

namespace keyfall {

/// Cells of each face, and how many photons fill them.
struct BakeSettings {
    RunSettings run;              ///< seed, threads, stop, progress
    std::uint32_t photons = 0;    ///< a power of two; 0: enough for this modifier (bakeSizeFor)
    int along = 0;                ///< 0 in any of the three: as bakeSizeFor says
    int across = 0;
    int directions = 0;
};

/// The figures that settings of 0 mean: finer directions where nothing diffuses the light.
BakeSettings bakeSizeFor(const ModifierBody& body);

/// Traces unit flux in every band from the lamp (`shape`, whose place and frame the body decides,
/// with a body of `lampBody`) through the modifier without what stands outside of it. Same input,
/// same bytes, for any number of threads. Interrupted by run.stop: a table of fewer photons, no use.
NearFieldTable bake(const LampShape& shape, const Material& lampBody, const ModifierBody& body,
                    const BakeSettings& settings = {});

}  // namespace keyfall
