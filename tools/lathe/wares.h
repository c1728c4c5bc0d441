// The wares of the demo scenes. Not here: how a profile is turned (revolve.h).
#pragma once

#include "tools/lathe/model.h"

namespace keyfall::lathe {

Model teaCaddy();    ///< stoneware, groups body and lid
Model glassJar();    ///< one closed glass solid, open at the top
Model jarLiquid();   ///< what stands in the jar; overlaps its wall by 0.2 mm
Model brassSpoon();  ///< a scoop, lying on the table along x

}  // namespace keyfall::lathe
