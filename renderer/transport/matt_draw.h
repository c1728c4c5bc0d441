// Draws as from a matt surface, off a card with one broad gloss that a meter's receptor draws to
// (facing_cards.h). Not here: other vertices, which draw by their own lobes (optics/bsdf.h).
//
// A silver card and a white one in its place send a reading's paths along their lobes, one about the
// mirror's direction and one about the normal: equal random numbers then meet other parts of the set, and
// the difference of the two readings has the noise of both. Drawn by cos/pi, both meet the same. For a lobe
// this broad that costs little: with the library's silver (alpha 0.36) on a set with a bright backdrop the
// reading's standard error rises by 7 %, that of its difference to white foam falls to 52 %.
#pragma once

#include <glm/glm.hpp>

#include "renderer/optics/bsdf.h"
#include "renderer/optics/warp.h"

namespace keyfall {

/// True for a metal of alpha 0.3 or more: at normal incidence its lobe is at most 0.25 / (pi alpha^2), less
/// than three times the 1/pi of a matt surface.
inline bool drawsAsMatt(const Bsdf& bsdf) {
    constexpr float kBroadAlpha = 0.3F;
    const float roughness = bsdf.material->roughness;
    return bsdf.material->base == Base::metal && roughness * roughness >= kBroadAlpha;
}

/// Density of sampleAsMatt: cos/pi on the side of `wo`, 0 on the other. Local directions.
inline float pdfAsMatt_perSr(glm::vec3 wo, glm::vec3 wi) {
    return pdfCosineHemisphere_perSr(wo.z < 0.0F ? -wi.z : wi.z);
}

/// As sample() of bsdf.h; needs no number to choose a lobe.
inline BsdfSample sampleAsMatt(const Bsdf& bsdf, glm::vec3 wo, glm::vec2 u) {
    BsdfSample b;
    b.wi = sampleCosineHemisphere(u);
    if (wo.z < 0.0F) b.wi.z = -b.wi.z;
    b.pdf_perSr = pdfAsMatt_perSr(wo, b.wi);
    if (b.pdf_perSr <= 0.0F) return b;
    b.weight = evaluate(bsdf, wo, b.wi) * (1.0F / b.pdf_perSr);
    b.lobe = Lobe::glossy;
    return b;
}

}  // namespace keyfall
