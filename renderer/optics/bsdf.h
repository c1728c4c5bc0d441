// How a surface scatters light: one BSDF a material base, all with the same three functions.
// Directions are local (z = shading normal), unit, and point away from the surface.
// Not here: which surface was hit, media bookkeeping (stage, transport).
#pragma once

#include <glm/glm.hpp>

#include "scene/bands.h"
#include "scene/material.h"

namespace keyfall {

/// Radiance flows along eye paths, importance along light paths: refraction scales only radiance.
enum class Transport { radiance, importance };

/// What a sampled event was, for path ownership.
enum class Lobe {
    none,      ///< no light this way: the path ends
    diffuse,   ///< rough vertex
    glossy,    ///< microfacet, alpha above kSpecularAlpha
    specular,  ///< a mirror direction, density is a delta
    straight,  ///< through a thin sheet or pane without a turn, density is a delta
};
inline constexpr float kSpecularAlpha = 1e-3F;  ///< below it a microfacet surface is a mirror
inline constexpr float kRoughAlpha = 0.2F;      ///< at or above it a vertex counts as rough

struct BsdfSample {
    Lobe lobe = Lobe::none;
    glm::vec3 wi{0.0F};
    float pdf_perSr = 0.0F;  ///< all lobes together; for delta lobes the choice probability
    Bands weight;            ///< f * |cos wi| / pdf
    bool transmitted = false;
};

/// A material made ready at one surface point. Cheap to copy; valid while `material` lives.
struct Bsdf {
    const Material* material = nullptr;
    Bands reflectance;        ///< after texture
    /// glass: n of the medium on the +z side over which the light arrives / leaves is resolved by
    /// the caller's medium stack; etaRatio = n(-z side) / n(+z side).
    float etaRatio = 1.0F;
    Transport transport = Transport::radiance;
};

/// At any point of a surface, its texture left out.
inline Bsdf untexturedBsdf(const Material& material, Transport transport = Transport::radiance) {
    Bsdf bsdf;
    bsdf.material = &material;
    bsdf.reflectance = material.reflectance;
    bsdf.transport = transport;
    return bsdf;
}

/// True when the BSDF has a lobe that next-event estimation can see (not only deltas).
bool hasSmoothLobe(const Bsdf& bsdf);
/// True when this vertex counts as rough for path ownership: diffuse, or alpha >= kRoughAlpha.
bool isRough(const Bsdf& bsdf);

/// f * |cos wi| of the non-delta lobes, per steradian; 0 for directions they do not serve.
Bands evaluate(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi);
/// True for a rough vertex that has no narrow gloss over it.
bool isWhollyRough(const Bsdf& bsdf);
/// The part of evaluate() that light from a near-field table may take: all of a rough vertex, but of a
/// body under a narrow gloss (alpha below kRoughAlpha) only the body's.
Bands evaluateRough(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi);
/// Density per steradian with which sample() picks `wi` by its non-delta lobes (their choice
/// probability included).
float pdf_perSr(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi);
/// False where sample() has one lobe and needs no `choice`: a random number saved.
bool choosesLobe(const Bsdf& bsdf);
/// Draws wi. `choice` selects the lobe, `u` the direction within it.
BsdfSample sample(const Bsdf& bsdf, glm::vec3 wo, float choice, glm::vec2 u);

/// Share that passes straight through a sheet or pane along a ray that makes |cos| with its normal.
Bands straightTransmittance(const Material& material, float cosTheta);

/// Splits evaluate() into what a photographer calls diffuse and specular highlight.
struct SplitValue {
    Bands diffuse;
    Bands specular;
};
SplitValue evaluateSplit(const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi);

}  // namespace keyfall
