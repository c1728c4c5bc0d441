// A rough boundary between two clear media. Not here: smooth ones (bsdf_glass.cpp).
#pragma once

#include "renderer/optics/bsdf_base.h"

namespace keyfall {

/// As in bsdf.h, for glass with alpha >= kSpecularAlpha and etaRatio other than 1.
Bands evaluateBoundary(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi);
float pdfBoundary_perSr(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi);
BsdfSample sampleBoundary(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u);

}  // namespace keyfall
