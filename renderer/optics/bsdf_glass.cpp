// Glass and liquids: a boundary between two clear media. Smooth: mirror and refracted rays; rough
// in bsdf_boundary.cpp, panes in bsdf_pane.cpp.
// Not here: absorption on the way inside and which medium is where (transport).
#include "renderer/optics/bsdf_boundary.h"
#include "renderer/optics/bsdf_pane.h"
#include "renderer/optics/fresnel.h"

namespace keyfall {
namespace {

/// n on the side light continues to, over n on the side of `wo`.
float relativeIndex(const Bsdf& bsdf, glm::vec3 wo) {
    return wo.z >= 0.0F ? bsdf.etaRatio : 1.0F / bsdf.etaRatio;
}

/// Radiance is squeezed by refraction, L / n^2 is what stays: L_o = L_i (n_o / n_i)^2 (1 - F).
/// Importance, carried by light paths, is not. Source: Veach, thesis 1997, section 5.2.
float radianceScale(const Bsdf& bsdf, float eta) {
    return bsdf.transport == Transport::radiance ? 1.0F / (eta * eta) : 1.0F;
}

/// Snell's law in the plane of `wo` and the normal +-z.
glm::vec3 refracted(glm::vec3 wo, float eta, float cosT) {
    return {-wo.x / eta, -wo.y / eta, wo.z >= 0.0F ? -cosT : cosT};
}

BsdfSample sampleSmooth(const Bsdf& bsdf, glm::vec3 wo, float choice) {
    const float eta = relativeIndex(bsdf, wo);
    const float cosO = std::min(std::abs(wo.z), 1.0F);
    const float reflectance = fresnelDielectric(cosO, eta);
    if (choice < reflectance) {
        return deltaSample(Lobe::specular, mirrored(wo), reflectance, Bands{1.0F}, false);
    }
    const float cosT = cosTransmitted(cosO, eta);
    if (cosT <= 0.0F) return BsdfSample{};  // grazing to the last bit: nothing goes through
    return deltaSample(Lobe::specular, refracted(wo, eta, cosT), 1.0F - reflectance,
                       Bands{radianceScale(bsdf, eta)}, true);
}

/// Facets that scatter; a boundary between equal media, or a pane, has none.
bool scatters(const Bsdf& bsdf) {
    const Material& m = *bsdf.material;
    return !m.thin && bsdf.etaRatio != 1.0F && m.roughness * m.roughness >= kSpecularAlpha;
}

BsdfSample sampleGlass(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) {
    if (bsdf.material->thin) return samplePane(bsdf, wo, choice);
    if (bsdf.etaRatio == 1.0F) return deltaSample(Lobe::straight, -wo, 1.0F, Bands{1.0F}, true);
    return scatters(bsdf) ? sampleBoundary(bsdf, wo, choice, u) : sampleSmooth(bsdf, wo, choice);
}

Bands evaluateGlass(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return scatters(bsdf) ? evaluateBoundary(bsdf, wo, wi) : Bands{};
}

float pdfGlass_perSr(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return scatters(bsdf) ? pdfBoundary_perSr(bsdf, wo, wi) : 0.0F;
}

SplitValue splitGlass(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return {Bands{}, evaluateGlass(bsdf, wo, wi)};
}

bool isRoughGlass(const Bsdf& bsdf) {
    return scatters(bsdf) && bsdf.material->roughness * bsdf.material->roughness >= kRoughAlpha;
}

Bands straightOfGlass(const Material& material, float cosTheta) {
    return material.thin ? paneLight(material, std::min(cosTheta, 1.0F)).transmitted : Bands{};
}

}  // namespace

const BsdfBase kGlassBase{scatters,       isRoughGlass, evaluateGlass,  splitGlass,
                          pdfGlass_perSr, sampleGlass,  straightOfGlass, true};

}  // namespace keyfall
