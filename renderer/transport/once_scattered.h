// Light that leaves a modifier after one scattering, by looking back from the cells of its table.
// Internal to the bake. Not here: all the other light (light_trace.h).
#pragma once

#include <vector>

#include "renderer/stage/stage.h"
#include "renderer/transport/light_trace.h"
#include "scene/near_field_table.h"

namespace keyfall {

/// Flux of every cell of `face`, a share of the flux of the Stage's first lamp, that its surfaces sent
/// there after one scattering at a wholly rough vertex (isWhollyRough). What LightTraceSettings
/// withoutOnceScattered leaves out.
///
/// Photons have to hit a cell of position and direction by chance, and what a satin bowl shows of its
/// lamp is narrow: a receiver sees some seventy cells, and thousands of photons are needed in each for the
/// error of a few. Seen from the cell, lamp and surface are both known, and the mean of L over the cell,
///     L = f(from the lamp, to the cell) cos L_lamp / density of the lamp's point,
/// is an integral of a smooth function over six dimensions, here by the points of a scrambled net, more of
/// them near the axis.
/// Errors of different cells are independent. The same bytes for any number of threads.
/// `measure_srM2`: cellMeasures_srM2(face). `share`: of the usual number of views, at least one a cell.
std::vector<BandSums> onceScattered(const Stage& stage, const TableFace& face,
                                    const std::vector<double>& measure_srM2, float share,
                                    const RunSettings& run);

}  // namespace keyfall
