// Plastic, varnish, glaze: a clear coat over a matt body. Not here: bare matt surfaces.
//
// E(mu) is the share that the coat reflects. What enters, 1 - E, meets the body, and leaves again
// after any number of bounces between body and coat:
//   f_body = rho/pi (1 - E(mu_o)) (1 - E(mu_i)) / (1 - E_avg)
// reciprocal, and lossless at rho = 1. Source: Kelemen & Szirmay-Kalos, Eurographics 2001 short
// papers. rho is therefore the share of the entered light that comes out again, inner reflections
// included: what a colour meter with the gloss excluded shows, over 1 - E.
#include <algorithm>

#include "renderer/optics/bsdf_base.h"
#include "renderer/optics/fresnel.h"
#include "renderer/optics/warp.h"

namespace keyfall {
namespace {

float mirrorProbability(const Bsdf& bsdf, float coat) {
    const float body = (1.0F - coat) * mean(bsdf.reflectance);
    return coat / std::max(coat + body, 1e-30F);
}

Bands evaluatePlastic(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (!turnUp(wo, wi) || wi.z <= 0.0F) return Bands{};
    const float ior = bsdf.material->ior;
    const float passing = (1.0F - fresnelDielectric(std::min(wo.z, 1.0F), ior)) *
                          (1.0F - fresnelDielectric(std::min(wi.z, 1.0F), ior)) /
                          (1.0F - averageFresnelDielectric(ior));
    return bsdf.reflectance * (passing * wi.z * kInvPi);
}

float pdfPlastic_perSr(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (!turnUp(wo, wi)) return 0.0F;
    const float coat = fresnelDielectric(std::min(wo.z, 1.0F), bsdf.material->ior);
    return (1.0F - mirrorProbability(bsdf, coat)) * pdfCosineHemisphere_perSr(wi.z);
}

BsdfSample samplePlastic(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) {
    if (wo.z == 0.0F) return BsdfSample{};
    const float cosO = std::min(std::abs(wo.z), 1.0F);
    const float coat = fresnelDielectric(cosO, bsdf.material->ior);
    const float mirror = mirrorProbability(bsdf, coat);
    if (choice < mirror) {
        return deltaSample(Lobe::specular, mirrored(wo), mirror, Bands{coat / mirror}, false);
    }
    BsdfSample s;
    s.wi = sampleCosineHemisphere(u);
    if (wo.z < 0.0F) s.wi.z = -s.wi.z;
    s.pdf_perSr = pdfPlastic_perSr(bsdf, wo, s.wi);
    if (s.pdf_perSr <= 0.0F) return BsdfSample{};
    s.lobe = Lobe::diffuse;
    s.weight = evaluatePlastic(bsdf, wo, s.wi) * (1.0F / s.pdf_perSr);
    return s;
}

SplitValue splitPlastic(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return {evaluatePlastic(bsdf, wo, wi), Bands{}};
}

bool bodyShows(const Bsdf& bsdf) {
    return !bsdf.reflectance.isBlack();
}

}  // namespace

const BsdfBase kPlasticBase{bodyShows,        bodyShows,     evaluatePlastic, splitPlastic,
                            pdfPlastic_perSr, samplePlastic, opaque};

}  // namespace keyfall
