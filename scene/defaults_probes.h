// The four probes of a file without any. Not here: probes of the file (read_probes.cpp).
#pragma once

#include "scene/read_draft.h"

namespace keyfall {

/// front, lit-side, shadow-side and background, as README says, for the first
/// product that is on, else the first block; none without either. The sides are named by the direct
/// light that reaches them by the inverse-square law; what the meter reads may tell otherwise when
/// bounced light rules.
void addDefaultProbes(Draft& draft);

}  // namespace keyfall
