// A thin pane of glass: both surfaces in one, light goes on straight or is mirrored.
// Not here: glass with an inside (bsdf_glass.cpp).
#pragma once

#include "renderer/optics/bsdf_base.h"

namespace keyfall {

/// A pane's thickness is not in the scene; it matters only where the glass absorbs. Picture and
/// cabinet panes are 2 to 4 mm (common practice, no source).
inline constexpr float kPaneThickness_m = 0.003F;

/// What a pane passes straight and mirrors, per band. `cosTheta` in 0..1.
struct PaneLight {
    Bands transmitted;
    Bands reflected;
};
PaneLight paneLight(const Material& material, float cosTheta);

BsdfSample samplePane(const Bsdf& bsdf, glm::vec3 wo, float choice);

}  // namespace keyfall
