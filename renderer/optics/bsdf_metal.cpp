// Metals: GGX facets with the reflectance of a conductor, stretched if brushed, plus the light that
// bounces between facets. Not here: dielectrics (bsdf_plastic.cpp, bsdf_glass.cpp).
//
// The second lobe is reciprocal and returns what one bounce loses (Kulla & Conty, SIGGRAPH courses
// 2017), tinted by the further bounces (Hill 2018, the same course's correction, from memory):
//   f_ms = F_ms (1 - E(o)) (1 - E(i)) / (pi (1 - E_avg)),
//   F_ms = F_avg^2 E_avg / (1 - F_avg (1 - E_avg))
#include "renderer/optics/bsdf_base.h"
#include "renderer/optics/energy_table.h"
#include "renderer/optics/fresnel.h"
#include "renderer/optics/microfacet.h"

namespace keyfall {
namespace {

bool isMirror(const Bsdf& bsdf) {
    return bsdf.material->roughness * bsdf.material->roughness < kSpecularAlpha;
}

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

/// Cosine mean of facetReflectance(): of  F0 + (1 - F0)(1 - mu)^5 - a mu (1 - mu)^6  with `a` from
/// the exact value at mu = 1/7, where that term peaks (Hoffman 2019: within 0.01 for metals, and
/// it only tints the second lobe). Integrals: 2/42 and 2 B(3, 7) = 1/126.
Bands meanReflectance(const Bsdf& bsdf) {
    const Bands normal = facetReflectance(bsdf, 1.0F);
    Bands mean;
    for (int b = 0; b < kBands; ++b) mean[b] = normal[b] + (1.0F - normal[b]) / 21.0F;
    if (!bsdf.material->index) return mean;
    constexpr float kFifth = 7776.0F / 16807.0F;          // (6/7)^5
    constexpr float kPeak = 46656.0F / 117649.0F / 7.0F;  // (6/7)^6 / 7
    const Bands edge = facetReflectance(bsdf, 1.0F / 7.0F);
    for (int b = 0; b < kBands; ++b) {
        const float schlick = normal[b] + (1.0F - normal[b]) * kFifth;
        mean[b] -= (schlick - edge[b]) / (kPeak * 126.0F);
    }
    return mean;
}

/// What one bounce returns, seen from two directions.
struct Albedos {
    float out, in, mean;
};

Albedos albedos(const Ggx& g, glm::vec3 wo, glm::vec3 wi) {
    if (g.ax == g.ay) return {ggxAlbedo(g.ax, wo.z), ggxAlbedo(g.ax, wi.z), ggxAlbedoMean(g.ax)};
    const StretchedAlbedo stretched(g.ax, g.ay);
    return {stretched(wo), stretched(wi), stretched.mean()};
}

/// Probability of drawing from the second lobe: its share of a white metal's light.
float secondLobe(const Ggx& g, glm::vec3 wo) {
    return 1.0F - (g.ax == g.ay ? ggxAlbedo(g.ax, wo.z) : StretchedAlbedo(g.ax, g.ay)(wo));
}

Ggx widths(const Bsdf& bsdf) {
    return ggxOf(bsdf.material->roughness, bsdf.material->anisotropy, kSpecularAlpha);
}

Bands evaluateUp(const Bsdf& bsdf, const Ggx& g, glm::vec3 wo, glm::vec3 wi) {
    const glm::vec3 h = glm::normalize(wo + wi);
    const float single = reflectedLobe_perSr(g, wo, wi, h);
    Bands f = facetReflectance(bsdf, std::clamp(glm::dot(wo, h), 0.0F, 1.0F)) * single;
    const Albedos e = albedos(g, wo, wi);
    const float lost = 1.0F - e.mean;
    if (lost < 1e-5F) return f;
    const float multiple = (1.0F - e.out) * (1.0F - e.in) / lost * wi.z * kInvPi;
    const Bands mean = meanReflectance(bsdf);
    for (int b = 0; b < kBands; ++b) {
        f[b] += multiple * mean[b] * mean[b] * e.mean / (1.0F - mean[b] * lost);
    }
    return f;
}

float pdfUp_perSr(const Ggx& g, glm::vec3 wo, glm::vec3 wi) {
    const float second = secondLobe(g, wo);
    return (1.0F - second) * reflectedPdf_perSr(g, wo, glm::normalize(wo + wi)) +
           second * bouncedPdf_perSr(g.ax, wi.z);
}

Bands evaluateMetal(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (isMirror(bsdf) || !turnUp(wo, wi) || wi.z <= 0.0F) return Bands{};
    return evaluateUp(bsdf, widths(bsdf), wo, wi);
}

float pdfMetal_perSr(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (isMirror(bsdf) || !turnUp(wo, wi) || wi.z <= 0.0F) return 0.0F;
    return pdfUp_perSr(widths(bsdf), wo, wi);
}

BsdfSample sampleMetal(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) {
    if (wo.z == 0.0F) return BsdfSample{};
    if (isMirror(bsdf)) {
        const float cosO = std::min(std::abs(wo.z), 1.0F);
        return deltaSample(Lobe::specular, mirrored(wo), 1.0F, facetReflectance(bsdf, cosO), false);
    }
    const Ggx g = widths(bsdf);
    const glm::vec3 up{wo.x, wo.y, std::abs(wo.z)};
    glm::vec3 wi;
    if (choice < secondLobe(g, up)) {
        wi = sampleBounced(g.ax, u);
    } else {
        const glm::vec3 h = sampleVisibleNormal(g, up, u);
        wi = 2.0F * glm::dot(up, h) * h - up;
    }
    if (wi.z <= 0.0F) return BsdfSample{};
    BsdfSample s;
    s.lobe = Lobe::glossy;
    s.pdf_perSr = pdfUp_perSr(g, up, wi);
    s.weight = evaluateUp(bsdf, g, up, wi) * (1.0F / s.pdf_perSr);
    s.wi = {wi.x, wi.y, std::copysign(wi.z, wo.z)};
    return s;
}

SplitValue splitMetal(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return {Bands{}, evaluateMetal(bsdf, wo, wi)};
}

bool scatters(const Bsdf& bsdf) {
    return !isMirror(bsdf);
}

bool isRoughMetal(const Bsdf& bsdf) {
    return bsdf.material->roughness * bsdf.material->roughness >= kRoughAlpha;
}

}  // namespace

const BsdfBase kMetalBase{scatters,       isRoughMetal, evaluateMetal, splitMetal,
                          pdfMetal_perSr, sampleMetal,  opaque,        true};

}  // namespace keyfall
