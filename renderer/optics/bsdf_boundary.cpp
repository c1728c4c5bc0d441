// Rough glass: GGX facets that mirror and refract (Walter et al., EGSR 2007), plus a reciprocal
// lobe for the light that one event loses. Not here: absorption inside (transport).
//
// With `wo` above in medium 1, eta = n2/n1 and h = +-(wo + eta wi) for refraction, energy flows as
//   f_t |cos_i| = [D(h) G1(o) (o.h) / z_o] (1 - F) G1(i) eta^2 |i.h| / (o.h + eta i.h)^2
// and radiance as that over eta^2: f/n^2 is then the same both ways.
// What is lost, 1 - E, comes back on both sides (Kulla & Conty 2017, dielectrics):
//   mirrored  (1 - t1) (1 - E1(o)) (1 - E1(i)) / (pi (1 - E1_avg))
//   passed         t1  (1 - E1(o)) (1 - E2(i)) / (pi (1 - E2_avg))
// Reciprocity wants t1 / t2 = eta^2 (1 - E2_avg) / (1 - E1_avg); t1 + t2 is that of a smooth
// boundary in diffuse light, where t1 / t2 = eta^2.
#include "renderer/optics/bsdf_boundary.h"

#include <algorithm>

#include "renderer/optics/energy_table.h"
#include "renderer/optics/fresnel.h"
#include "renderer/optics/microfacet.h"

namespace keyfall {
namespace {

/// The boundary seen from the side of `wo`, which is turned up.
struct Boundary {
    Ggx g;
    float eta;
    glm::vec3 wo;

    Boundary(const Bsdf& bsdf, glm::vec3 w)
        : eta(w.z >= 0.0F ? bsdf.etaRatio : 1.0F / bsdf.etaRatio), wo(w.x, w.y, std::abs(w.z)) {
        const float alpha = bsdf.material->roughness * bsdf.material->roughness;
        g = {alpha, alpha};
    }
    float albedo(float mu) const { return boundaryAlbedo(eta, g.ax, mu); }
    float albedoBeyond(float mu) const { return boundaryAlbedo(1.0F / eta, g.ax, mu); }
};

/// The second lobe's constants.
struct Second {
    float near = 0.0F;    ///< 1 - E_avg on the side of wo
    float far = 0.0F;     ///< and beyond
    float passed = 0.0F;  ///< t1
};

Second secondLobe(const Boundary& b) {
    Second s;
    s.near = 1.0F - boundaryAlbedoMean(b.eta, b.g.ax);
    s.far = 1.0F - boundaryAlbedoMean(1.0F / b.eta, b.g.ax);
    // 1 - F_avg of the smooth boundary from the thin side; over n^2 from the dense side.
    const float n = std::max(b.eta, 1.0F / b.eta);
    const float smooth = 1.0F - coatAlbedoMean(n, 0.0F);
    const float wanted = smooth + smooth / (n * n);
    const float t1 = b.eta * b.eta * s.far;  // t1 : t2 = t1 : s.near
    const float scale =
        std::min(wanted / std::max(t1 + s.near, 1e-20F), 1.0F / std::max({t1, s.near, 1e-20F}));
    s.passed = std::min(t1 * scale, 1.0F);  // to the last digit
    return s;
}

/// Below this loss the second lobe is the table's own noise.
constexpr float kNoLoss = 1e-5F;

/// A facet that turns wo into wi through the boundary, and d(h)/d(wi).
struct Facet {
    glm::vec3 h{0.0F};
    float cosO = 0.0F;     ///< <= 0: there is none
    float passing = 0.0F;  ///< 1 - F
    float jacobian = 0.0F;
};

Facet refractingFacet(const Boundary& b, glm::vec3 wi) {
    const glm::vec3 sum = b.wo + b.eta * wi;
    const float length2 = glm::dot(sum, sum);
    if (length2 < 1e-12F) return {};  // nearly index-matched and straight on: any facet would do
    Facet f;
    f.h = sum * (std::copysign(1.0F, sum.z) / std::sqrt(length2));
    f.cosO = glm::dot(b.wo, f.h);
    const float cosI = glm::dot(wi, f.h);
    if (cosI >= 0.0F || f.cosO <= 0.0F) return {};
    // From both cosines as they are: the square root of Snell's law loses digits near grazing.
    const float s = (f.cosO + b.eta * cosI) / (f.cosO - b.eta * cosI);
    const float p = (b.eta * f.cosO + cosI) / (b.eta * f.cosO - cosI);
    f.passing = 1.0F - 0.5F * (s * s + p * p);
    f.jacobian = b.eta * b.eta * -cosI / length2;  // o.h + eta i.h is the sum's own length
    return f;
}

float evaluateUp(const Boundary& b, const Bsdf& bsdf, glm::vec3 wi) {
    const Second second = secondLobe(b);
    const float lostOut = 1.0F - b.albedo(b.wo.z);
    if (wi.z > 0.0F) {
        const glm::vec3 h = glm::normalize(b.wo + wi);
        const float cosO = std::clamp(glm::dot(b.wo, h), 0.0F, 1.0F);
        const float f = fresnelDielectric(cosO, b.eta) * reflectedLobe_perSr(b.g, b.wo, wi, h);
        if (second.near < kNoLoss) return f;
        return f + (1.0F - second.passed) * lostOut * (1.0F - b.albedo(wi.z)) / second.near * wi.z *
                       kInvPi;
    }
    const float radiance = bsdf.transport == Transport::radiance ? 1.0F / (b.eta * b.eta) : 1.0F;
    const glm::vec3 in{wi.x, wi.y, -wi.z};
    float f = 0.0F;
    const Facet facet = refractingFacet(b, wi);
    if (facet.cosO > 0.0F) {
        f = visibleNormalPdf_perSr(b.g, b.wo, facet.h) * facet.passing * smithG1(b.g, in) *
            facet.jacobian;
    }
    if (second.far >= kNoLoss) {
        f += second.passed * lostOut * (1.0F - b.albedoBeyond(in.z)) / second.far * in.z * kInvPi;
    }
    return f * radiance;
}

float pdfUp_perSr(const Boundary& b, glm::vec3 wi) {
    const Second second = secondLobe(b);
    const float lost = 1.0F - b.albedo(b.wo.z);
    if (wi.z > 0.0F) {
        const glm::vec3 h = glm::normalize(b.wo + wi);
        const float cosO = std::clamp(glm::dot(b.wo, h), 0.0F, 1.0F);
        return (1.0F - lost) * fresnelDielectric(cosO, b.eta) * reflectedPdf_perSr(b.g, b.wo, h) +
               lost * (1.0F - second.passed) * bouncedPdf_perSr(b.g.ax, wi.z);
    }
    float p = lost * second.passed * bouncedPdf_perSr(b.g.ax, -wi.z);
    const Facet facet = refractingFacet(b, wi);
    if (facet.cosO > 0.0F) {
        p += (1.0F - lost) * facet.passing * visibleNormalPdf_perSr(b.g, b.wo, facet.h) *
             facet.jacobian;
    }
    return p;
}

/// A direction from the first lobe; z of the wrong sign means that the facet's ray is lost.
glm::vec3 drawFromFacet(const Boundary& b, float choice, glm::vec2 u, bool& transmitted) {
    const glm::vec3 h = sampleVisibleNormal(b.g, b.wo, u);
    const float cosO = std::clamp(glm::dot(b.wo, h), 0.0F, 1.0F);
    transmitted = choice >= fresnelDielectric(cosO, b.eta);
    if (!transmitted) return 2.0F * cosO * h - b.wo;
    const float cosT = cosTransmitted(cosO, b.eta);
    return (cosO / b.eta - cosT) * h - b.wo / b.eta;
}

}  // namespace

Bands evaluateBoundary(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (wo.z < 0.0F) wi.z = -wi.z;
    if (wo.z == 0.0F || wi.z == 0.0F) return Bands{};
    return Bands{evaluateUp(Boundary(bsdf, wo), bsdf, wi)};
}

float pdfBoundary_perSr(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (wo.z < 0.0F) wi.z = -wi.z;
    if (wo.z == 0.0F || wi.z == 0.0F) return 0.0F;
    return pdfUp_perSr(Boundary(bsdf, wo), wi);
}

BsdfSample sampleBoundary(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) {
    if (wo.z == 0.0F) return BsdfSample{};
    const Boundary b(bsdf, wo);
    const float lost = 1.0F - b.albedo(b.wo.z);
    BsdfSample s;
    glm::vec3 wi;
    if (choice < lost) {
        s.transmitted = choice < lost * secondLobe(b).passed;
        wi = sampleBounced(b.g.ax, u);
        if (s.transmitted) wi.z = -wi.z;
    } else {
        wi = drawFromFacet(b, (choice - lost) / (1.0F - lost), u, s.transmitted);
    }
    if (wi.z == 0.0F || (wi.z < 0.0F) != s.transmitted) return BsdfSample{};
    s.pdf_perSr = pdfUp_perSr(b, wi);
    if (s.pdf_perSr <= 0.0F) return BsdfSample{};
    s.lobe = Lobe::glossy;
    s.weight = Bands{evaluateUp(b, bsdf, wi) / s.pdf_perSr};
    s.wi = {wi.x, wi.y, wo.z < 0.0F ? -wi.z : wi.z};
    return s;
}

}  // namespace keyfall
