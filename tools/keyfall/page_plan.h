// The set from above and from the side, as outlines in centimetres. Not here: how they are drawn
// (tools/page/plan.js).
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "scene/scene.h"

namespace keyfall {

/// {"from": {name, at}, "things": [...], "camera": {...}}, all in cm and degrees. "above": [x, z] corners of
/// the convex hull; "side", seen from the right: [z, y] (a sweep's is its profile). Lamps, cards and the
/// camera have "at", and from the middle of the first product (else of the set's origin) angle, elevation
/// and distance: 0 degrees = +z, the front; 90 = +x, right; seen from above.
nlohmann::ordered_json planJson(const Scene& scene);

}  // namespace keyfall
