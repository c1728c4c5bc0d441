// What a material base implements: one table of functions a base, one line a base in bsdf.cpp.
// Not here: what callers use (bsdf.h).
#pragma once

#include <cmath>
#include <numbers>

#include "renderer/optics/bsdf.h"

namespace keyfall {

/// The functions of bsdf.h for one base. Plain pointers: no object to allocate, and a base that
/// lacks one does not compile.
struct BsdfBase {
    bool (*hasSmoothLobe)(const Bsdf&);
    bool (*isRough)(const Bsdf&);
    Bands (*evaluate)(const Bsdf&, glm::vec3 wo, glm::vec3 wi);
    SplitValue (*evaluateSplit)(const Bsdf&, glm::vec3 wo, glm::vec3 wi);
    float (*pdf_perSr)(const Bsdf&, glm::vec3 wo, glm::vec3 wi);
    BsdfSample (*sample)(const Bsdf&, glm::vec3 wo, float choice, glm::vec2 u);
    Bands (*straightTransmittance)(const Material&, float cosTheta);
    bool choosesLobe;
};

extern const BsdfBase kDiffuseBase;
extern const BsdfBase kPlasticBase;
extern const BsdfBase kMetalBase;
extern const BsdfBase kGlassBase;
extern const BsdfBase kSheetBase;

inline constexpr float kInvPi = std::numbers::inv_pi_v<float>;

/// Nothing passes: the straightTransmittance of every opaque base.
inline Bands opaque(const Material&, float) {
    return Bands{};
}

/// Turns both directions over so that `wo` lies above: opaque bases look the same from both sides.
/// False: `wo` is in the plane of the surface, which then sends nothing.
inline bool turnUp(glm::vec3& wo, glm::vec3& wi) {
    if (wo.z < 0.0F) {
        wo.z = -wo.z;
        wi.z = -wi.z;
    }
    return wo.z > 0.0F;
}

inline float mean(const Bands& x) {
    float sum = 0.0F;
    for (float v : x.v) sum += v;
    return sum * (1.0F / static_cast<float>(kBands));
}

/// The mirror direction about +z.
inline glm::vec3 mirrored(glm::vec3 w) {
    return {-w.x, -w.y, w.z};
}

inline BsdfSample deltaSample(Lobe lobe, glm::vec3 wi, float probability, const Bands& weight,
                              bool transmitted) {
    BsdfSample s;
    s.lobe = lobe;
    s.wi = wi;
    s.pdf_perSr = probability;
    s.weight = weight;
    s.transmitted = transmitted;
    return s;
}

}  // namespace keyfall
