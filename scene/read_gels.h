// Gels of the file and on its lights. Not here: what a definition means (library_gels.h).
#pragma once

#include "scene/read_draft.h"

namespace keyfall {

/// What the key "gel" names, "none": no gel; empty after a mistake, which is reported.
std::optional<std::vector<Gel>> gelsOn(Draft& draft, const Fields& light);

/// Puts the gels before a lamp whose spectrum and temperature are those of the bare lamp: spectrum,
/// bands, temperature and names follow. Gives the share of the luminous flux that passes; 0, and a
/// message, when nothing does.
double wearGels(const Fields& fields, const std::vector<Gel>& gels, Light& light);

}  // namespace keyfall
