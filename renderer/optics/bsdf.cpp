// The table of material bases. Not here: their physics (bsdf_<base>.cpp).
#include "renderer/optics/bsdf.h"

#include "renderer/optics/bsdf_base.h"

namespace keyfall {
namespace {

const BsdfBase& baseOf(const Material& material) {
    switch (material.base) {
        case Base::diffuse:
            return kDiffuseBase;
        case Base::plastic:
            return kPlasticBase;
        case Base::metal:
            return kMetalBase;
        case Base::glass:
            return kGlassBase;
        case Base::sheet:
            return kSheetBase;
    }
    return kDiffuseBase;
}

}  // namespace

bool hasSmoothLobe(const Bsdf& bsdf) {
    return baseOf(*bsdf.material).hasSmoothLobe(bsdf);
}

bool isRough(const Bsdf& bsdf) {
    return baseOf(*bsdf.material).isRough(bsdf);
}

Bands evaluate(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return baseOf(*bsdf.material).evaluate(bsdf, wo, wi);
}

bool isWhollyRough(const Bsdf& bsdf) {
    const Material& m = *bsdf.material;
    return isRough(bsdf) && !(m.base == Base::plastic && m.roughness * m.roughness < kRoughAlpha);
}

Bands evaluateRough(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    if (!isRough(bsdf)) return Bands{};
    return isWhollyRough(bsdf) ? evaluate(bsdf, wo, wi) : evaluateSplit(bsdf, wo, wi).diffuse;
}

SplitValue evaluateSplit(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return baseOf(*bsdf.material).evaluateSplit(bsdf, wo, wi);
}

float pdf_perSr(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
    return baseOf(*bsdf.material).pdf_perSr(bsdf, wo, wi);
}

bool choosesLobe(const Bsdf& bsdf) {
    return baseOf(*bsdf.material).choosesLobe;
}

BsdfSample sample(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u) {
    return baseOf(*bsdf.material).sample(bsdf, wo, choice, u);
}

Bands straightTransmittance(const Material& material, float cosTheta) {
    return baseOf(material).straightTransmittance(material, cosTheta);
}

}  // namespace keyfall
