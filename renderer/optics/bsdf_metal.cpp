// Metals: mirrors with the reflectance of a conductor. Not here: dielectrics (bsdf_glass.cpp).
#include "renderer/optics/bsdf_base.h"
#include "renderer/optics/fresnel.h"

namespace keyfall {
namespace {

/// Reflectance per band at the angle of a (micro)facet: exact from n, k; where a material gives
/// only its reflectance at normal incidence, Schlick 1994.
Bands facetReflectance(const Bsdf& bsdf, float cosTheta) {
    Bands f;
    if (bsdf.material->index) {
        const ComplexIndex& index = *bsdf.material->index;
        for (int b = 0; b < kBands; ++b) f[b] = fresnelConductor(cosTheta, index.n[b], index.k[b]);
        return f;
    }
    const float x = 1.0F - cosTheta;
    const float x5 = x * x * x * x * x;
    for (int b = 0; b < kBands; ++b) {
        f[b] = bsdf.reflectance[b] + (1.0F - bsdf.reflectance[b]) * x5;
    }
    return f;
}

BsdfSample sampleMetal(const Bsdf& bsdf, glm::vec3 wo, float, glm::vec2) {
    if (wo.z == 0.0F) return BsdfSample{};
    const float cosO = std::min(std::abs(wo.z), 1.0F);
    return deltaSample(Lobe::specular, mirrored(wo), 1.0F, facetReflectance(bsdf, cosO), false);
}

Bands evaluateMetal(const Bsdf&, glm::vec3, glm::vec3) {
    return Bands{};
}

float pdfMetal_perSr(const Bsdf&, glm::vec3, glm::vec3) {
    return 0.0F;
}

SplitValue splitMetal(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return {Bands{}, evaluateMetal(bsdf, wo, wi)};
}

bool no(const Bsdf&) {
    return false;
}

}  // namespace

const BsdfBase kMetalBase{no, no, evaluateMetal, splitMetal, pdfMetal_perSr, sampleMetal, opaque};

}  // namespace keyfall
