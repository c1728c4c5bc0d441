// A reading under other powers, as arithmetic on what was traced: light adds up, so each light's part is
// multiplied and nothing is traced again. Not here: colours and boards, which need the traces themselves.
#pragma once

#include <vector>

#include "renderer/meter/readings.h"

namespace keyfall {

/// `factor`: one for each entry of r.byLight. Exposure, f-number and stops, each with its interval; colour
/// and boards are left as they were.
ProbeReading relit(ProbeReading r, const std::vector<double>& factor);

}  // namespace keyfall
