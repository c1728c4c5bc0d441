// Noise of a baked table, less by a local fit over directions. Not here: cells and luminance (bake_cells.h).
#pragma once

#include "scene/near_field_table.h"

namespace keyfall {

/// Replaces each cell's luminance by the value there of a quadratic surface fitted to the square of
/// 2 reach + 1 directions around it (Savitzky & Golay, Analytical Chemistry 36, 1964, in two dimensions).
/// Level, slope and curvature pass unchanged; the noise falls to 0.39 (reach 2) or 0.27 (reach 3).
/// A cell stays as it is where the square differs from its fits by far more than its noise explains, as at a
/// strong edge; where it is not whole, near the horizon; and where the fit would fall below 0. The flux of
/// the face is kept, band by band. `variance`: of each cell's luminance, mean over the bands. Faces of
/// fewer than kFewestToSmooth directions are left alone: there the square is most of the sky.
inline constexpr int kFewestToSmooth = 32;
void smoothDirections(TableFace& face, const std::vector<double>& variance, int reach);

}  // namespace keyfall
