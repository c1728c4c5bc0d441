// Solids turned on a lathe: a profile with rounded corners, swept about the y axis.
// Not here: what is turned (wares.cpp).
#pragma once

#include <string>
#include <vector>

#include "tools/lathe/model.h"

namespace keyfall::lathe {

/// A corner of a profile: radius and height in cm, and the radius that rounds it (0: sharp).
struct Knot {
    double radius_cm;
    double height_cm;
    double round_cm = 0.0;
};

/// Sweeps the profile once around. It starts and ends on the axis and runs so that the solid is on
/// its left (from the underside's middle outward, up, and back to the axis): then the mesh is
/// closed and wound outward. A rounding that does not fit between two knots is made smaller.
Part revolve(const std::string& group, const std::vector<Knot>& profile);

}  // namespace keyfall::lathe
