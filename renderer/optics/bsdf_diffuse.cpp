// Matt surfaces: the energy-preserving, reciprocal Oren-Nayar lobe; roughness 0 is Lambert's law.
// Not here: a varnish over it (bsdf_plastic.cpp).
//
// Source: Portsmouth, Kutz & Hill, "EON: A Practical Energy-Preserving Rough Diffuse BRDF", 2024.
//   s     = wi.wo - mu_i mu_o,  s/t = s / max(mu_i, mu_o) where s > 0, else s
//   f_ss  = rho/pi A (1 + r s/t),  A = 1 / (1 + (1/2 - 2/(3 pi)) r)
//   f_ms  = rho_ms/pi (1 - E(mu_o)) (1 - E(mu_i)) / (1 - E_avg)
//   rho_ms = rho^2 E_avg / (1 - rho (1 - E_avg)),  E the albedo of f_ss at rho = 1
#include <algorithm>

#include "renderer/optics/bsdf_base.h"
#include "renderer/optics/warp.h"

namespace keyfall {
namespace {

constexpr float kPiF = std::numbers::pi_v<float>;
constexpr float kC1 = 0.5F - 2.0F / (3.0F * kPiF);
constexpr float kC2 = 2.0F / 3.0F - 28.0F / (15.0F * kPiF);

/// Albedo of the single-scattering part at rho = 1; the paper's polynomial, within 1e-3 of exact.
float albedo(float mu, float roughness) {
    const float x = 1.0F - mu;
    const float g =
        x * (0.0571085289F + x * (0.491881867F + x * (-0.332181442F + x * 0.0714429953F)));
    return (1.0F + roughness * g) / (1.0F + kC1 * roughness);
}

Bands evaluateRough(const Bands& rho, float r, glm::vec3 wo, glm::vec3 wi) {
    const float s = glm::dot(wo, wi) - wo.z * wi.z;
    const float sOverT = s > 0.0F ? s / std::max(wo.z, wi.z) : s;
    const float a = 1.0F / (1.0F + kC1 * r);
    const float average = a * (1.0F + kC2 * r);
    const float cosOverPi = wi.z * kInvPi;
    const float single = cosOverPi * a * (1.0F + r * sOverT);
    const float multiple = cosOverPi * average * (1.0F - albedo(wo.z, r)) *
                           (1.0F - albedo(wi.z, r)) / (1.0F - average);
    Bands f;
    for (int b = 0; b < kBands; ++b) {
        f[b] = rho[b] * (single + multiple * rho[b] / (1.0F - rho[b] * (1.0F - average)));
    }
    return f;
}

Bands evaluateDiffuse(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (!turnUp(wo, wi) || wi.z <= 0.0F) return Bands{};
    const float r = bsdf.material->roughness;
    // Below this the two lobes differ by less than a float's last digits, and 1 - E_avg is noise.
    if (r < 1e-4F) return bsdf.reflectance * (wi.z * kInvPi);
    return evaluateRough(bsdf.reflectance, r, wo, wi);
}

float pdfDiffuse_perSr(const Bsdf&, glm::vec3 wo, glm::vec3 wi) {
    return turnUp(wo, wi) ? pdfCosineHemisphere_perSr(wi.z) : 0.0F;
}

BsdfSample sampleDiffuse(const Bsdf& bsdf, glm::vec3 wo, float, glm::vec2 u) {
    BsdfSample s;
    glm::vec3 wi = sampleCosineHemisphere(u);
    if (wo.z < 0.0F) wi.z = -wi.z;
    s.pdf_perSr = pdfDiffuse_perSr(bsdf, wo, wi);
    if (s.pdf_perSr <= 0.0F) return BsdfSample{};
    s.lobe = Lobe::diffuse;
    s.wi = wi;
    s.weight = evaluateDiffuse(bsdf, wo, wi) * (1.0F / s.pdf_perSr);
    return s;
}

SplitValue splitDiffuse(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return {evaluateDiffuse(bsdf, wo, wi), Bands{}};
}

bool yes(const Bsdf&) {
    return true;
}

}  // namespace

const BsdfBase kDiffuseBase{yes,           yes,   evaluateDiffuse, splitDiffuse, pdfDiffuse_perSr,
                            sampleDiffuse, opaque, false};

}  // namespace keyfall
