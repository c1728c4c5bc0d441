// From the planes that a photometric file writes down to the whole web around the axis, and back.
// Not here: the files (photometry_lm63.cpp, photometry_eulumdat.cpp).
#pragma once

#include <vector>

#include "scene/photometric_web.h"

namespace keyfall {

/// Which planes are alike. `halves`: mirrored in the plane 0-180; `sides`: in the plane 90-270.
enum class WebSymmetry { none, axial, quadrant, halves, sides };

/// As measured: degrees, and candelas as [horizontal][vertical].
struct MeasuredPlanes {
    std::vector<double> vertical_deg;
    std::vector<double> horizontal_deg;  ///< ascending; `sides` may be written from -90 to 90
    std::vector<double> intensity_cd;
};

/// Fills the angles and intensities of `web`. Not checked: that the planes are those the symmetry
/// needs, one of them (or its mirror image) at 0.
void unfold(const MeasuredPlanes& measured, WebSymmetry symmetry, PhotometricWeb& web);

/// Whether planes that start at 0 go around once: the last is 360, or one step before it.
bool goesAround(const std::vector<double>& horizontal_deg);

/// The symmetry that needs the fewest planes; alike means to 1e-9 of the brightest.
WebSymmetry symmetryOf(const PhotometricWeb& web);

}  // namespace keyfall
