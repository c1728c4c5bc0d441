// Thin sheets: fabrics, papers and films that reflect and pass light diffusely and let a part of
// it straight through. Not here: panes of clear glass (bsdf_glass.cpp).
//
// Of the incident light: R is reflected by Lambert's law, T - straight leaves the other side by
// Lambert's law, `straight` goes on unturned, and A = 1 - R - T stays in the sheet. Both sides are
// alike and the shares do not depend on the angle: makers and meters give one number for each.
#include "renderer/optics/bsdf_base.h"
#include "renderer/optics/warp.h"

namespace keyfall {
namespace {

/// Probabilities of the three events, from the mean over the bands; they add up to 1.
struct Shares {
    float reflect = 0.0F;
    float diffuse = 0.0F;
    float straight = 0.0F;
};

Shares sharesOf(const Bsdf& bsdf) {
    const float reflect = mean(bsdf.reflectance);
    const float straight = mean(bsdf.material->straight);
    const float diffuse = mean(bsdf.material->transmittance) - straight;
    const float sum = reflect + diffuse + straight;
    if (sum <= 0.0F) return {};
    return {reflect / sum, diffuse / sum, straight / sum};
}

Bands evaluateSheet(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    const float side = wo.z * wi.z;
    if (side == 0.0F) return Bands{};
    const float cosOverPi = std::abs(wi.z) * kInvPi;
    if (side > 0.0F) return bsdf.reflectance * cosOverPi;
    return (bsdf.material->transmittance - bsdf.material->straight) * cosOverPi;
}

float pdfSheet_perSr(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    const float side = wo.z * wi.z;
    if (side == 0.0F) return 0.0F;
    const Shares shares = sharesOf(bsdf);
    return (side > 0.0F ? shares.reflect : shares.diffuse) *
           pdfCosineHemisphere_perSr(std::abs(wi.z));
}

BsdfSample sampleSheet(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) {
    const Shares shares = sharesOf(bsdf);
    if (choice < shares.straight) {
        return deltaSample(Lobe::straight, -wo, shares.straight,
                           bsdf.material->straight * (1.0F / shares.straight), true);
    }
    BsdfSample s;
    s.transmitted = choice >= shares.straight + shares.reflect;
    s.wi = sampleCosineHemisphere(u);
    if ((wo.z < 0.0F) != s.transmitted) s.wi.z = -s.wi.z;
    s.pdf_perSr = pdfSheet_perSr(bsdf, wo, s.wi);
    if (s.pdf_perSr <= 0.0F) return BsdfSample{};
    s.lobe = Lobe::diffuse;
    s.weight = evaluateSheet(bsdf, wo, s.wi) * (1.0F / s.pdf_perSr);
    return s;
}

SplitValue splitSheet(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return {evaluateSheet(bsdf, wo, wi), Bands{}};
}

bool scatters(const Bsdf& bsdf) {
    const Shares shares = sharesOf(bsdf);
    return shares.reflect > 0.0F || shares.diffuse > 0.0F;
}

Bands straightOfSheet(const Material& material, float) {
    return material.straight;
}

}  // namespace

const BsdfBase kSheetBase{scatters,       scatters,    evaluateSheet,  splitSheet,
                          pdfSheet_perSr, sampleSheet, straightOfSheet, true};

}  // namespace keyfall
