// Lifts solids off faces they would share. Not here: where they stand (read_solids.cpp).
#pragma once

#include "scene/read_draft.h"

namespace keyfall {

/// A product or block whose base lies within 0.05 mm of another's top face, over each other, is
/// raised 0.1 mm above it: coplanar faces leak light under glass. A stack rises with its lowest
/// member. Recorded as a default of the object.
void raiseCoplanar(Draft& draft);

}  // namespace keyfall
