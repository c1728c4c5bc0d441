// Plastic, varnish, glaze: a clear coat, smooth or of GGX facets, over a matt body.
// Not here: bare matt surfaces (bsdf_diffuse.cpp).
//
// E(mu) is the share that the coat reflects at once. What enters, 1 - E, meets the body, and leaves
// again after any number of bounces between body and coat:
//   f_body = rho/pi (1 - E(mu_o)) (1 - E(mu_i)) / (1 - E_avg)
// reciprocal, and lossless at rho = 1. Source: Kelemen & Szirmay-Kalos, Eurographics 2001 short
// papers. rho is therefore the share of the entered light that comes out again, inner reflections
// included: what a colour meter with the gloss excluded shows, over 1 - E. Light that bounces
// between facets of the coat is counted as entered: at a few percent reflectance nearly all is.
#include <algorithm>

#include "renderer/optics/bsdf_base.h"
#include "renderer/optics/energy_table.h"
#include "renderer/optics/fresnel.h"
#include "renderer/optics/microfacet.h"
#include "renderer/optics/warp.h"

namespace keyfall {
namespace {

float alphaOf(const Bsdf& bsdf) {
    return bsdf.material->roughness * bsdf.material->roughness;
}

bool isSmooth(const Bsdf& bsdf) {
    return alphaOf(bsdf) < kSpecularAlpha;
}

/// E(mu) of the coat.
float coatShare(const Bsdf& bsdf, float mu) {
    const float ior = bsdf.material->ior;
    mu = std::min(mu, 1.0F);
    return isSmooth(bsdf) ? fresnelDielectric(mu, ior) : coatAlbedo(ior, alphaOf(bsdf), mu);
}

float coatShareMean(const Bsdf& bsdf) {
    return coatAlbedoMean(bsdf.material->ior, isSmooth(bsdf) ? 0.0F : alphaOf(bsdf));
}

/// Probability of drawing from the coat: its share of the mean reflected light.
float coatProbability(const Bsdf& bsdf, float coat) {
    const float body = (1.0F - coat) * mean(bsdf.reflectance);
    return coat / std::max(coat + body, 1e-30F);
}

Ggx widths(const Bsdf& bsdf) {
    return {alphaOf(bsdf), alphaOf(bsdf)};
}

/// The coat's lobe times the cosine, all bands alike; 0 for a smooth coat.
float coatLobe_perSr(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (isSmooth(bsdf)) return 0.0F;
    const glm::vec3 h = glm::normalize(wo + wi);
    const float cosO = std::clamp(glm::dot(wo, h), 0.0F, 1.0F);
    return fresnelDielectric(cosO, bsdf.material->ior) *
           reflectedLobe_perSr(widths(bsdf), wo, wi, h);
}

/// The body's lobe times the cosine, for a reflectance of 1. `coat` is coatShare(wo.z).
float bodyLobe_perSr(const Bsdf& bsdf, float coat, glm::vec3 wi) {
    return (1.0F - coat) * (1.0F - coatShare(bsdf, wi.z)) / (1.0F - coatShareMean(bsdf)) * wi.z *
           kInvPi;
}

float pdfUp_perSr(const Bsdf& bsdf, float coat, glm::vec3 wo, glm::vec3 wi) {
    const float probability = coatProbability(bsdf, coat);
    const float body = (1.0F - probability) * wi.z * kInvPi;
    if (isSmooth(bsdf)) return body;
    return body + probability * reflectedPdf_perSr(widths(bsdf), wo, glm::normalize(wo + wi));
}

SplitValue splitPlastic(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (!turnUp(wo, wi) || wi.z <= 0.0F) return {};
    return {bsdf.reflectance * bodyLobe_perSr(bsdf, coatShare(bsdf, wo.z), wi),
            Bands{coatLobe_perSr(bsdf, wo, wi)}};
}

Bands evaluateUp(const Bsdf& bsdf, float coat, glm::vec3 wo, glm::vec3 wi) {
    Bands f{coatLobe_perSr(bsdf, wo, wi)};
    f.addScaled(bsdf.reflectance, bodyLobe_perSr(bsdf, coat, wi));
    return f;
}

Bands evaluatePlastic(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (!turnUp(wo, wi) || wi.z <= 0.0F) return Bands{};
    return evaluateUp(bsdf, coatShare(bsdf, wo.z), wo, wi);
}

float pdfPlastic_perSr(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (!turnUp(wo, wi) || wi.z <= 0.0F) return 0.0F;
    return pdfUp_perSr(bsdf, coatShare(bsdf, wo.z), wo, wi);
}

BsdfSample samplePlastic(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) {
    if (wo.z == 0.0F) return BsdfSample{};
    const glm::vec3 up{wo.x, wo.y, std::abs(wo.z)};
    const float coat = coatShare(bsdf, up.z);
    const float probability = coatProbability(bsdf, coat);
    BsdfSample s;
    glm::vec3 wi;
    if (choice >= probability) {
        s.lobe = Lobe::diffuse;
        wi = sampleCosineHemisphere(u);
    } else if (isSmooth(bsdf)) {
        return deltaSample(Lobe::specular, mirrored(wo), probability, Bands{coat / probability},
                           false);
    } else {
        s.lobe = Lobe::glossy;
        const glm::vec3 h = sampleVisibleNormal(widths(bsdf), up, u);
        wi = 2.0F * glm::dot(up, h) * h - up;
    }
    if (wi.z <= 0.0F) return BsdfSample{};
    s.pdf_perSr = pdfUp_perSr(bsdf, coat, up, wi);
    if (s.pdf_perSr <= 0.0F) return BsdfSample{};
    s.weight = evaluateUp(bsdf, coat, up, wi) * (1.0F / s.pdf_perSr);
    s.wi = {wi.x, wi.y, std::copysign(wi.z, wo.z)};
    return s;
}

bool scatters(const Bsdf& bsdf) {
    return !isSmooth(bsdf) || !bsdf.reflectance.isBlack();
}

bool isRoughPlastic(const Bsdf& bsdf) {
    return alphaOf(bsdf) >= kRoughAlpha || !bsdf.reflectance.isBlack();
}

}  // namespace

const BsdfBase kPlasticBase{scatters,         isRoughPlastic, evaluatePlastic, splitPlastic,
                            pdfPlastic_perSr, samplePlastic,  opaque,         true};

}  // namespace keyfall
