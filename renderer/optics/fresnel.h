// Fresnel reflectance, unpolarised. Not here: lobes (microfacet.h).
#pragma once

namespace keyfall {

/// Dielectric; `eta` = n_transmitted / n_incident. `cosIncident` >= 0. 1 beyond the critical angle.
float fresnelDielectric(float cosIncident, float eta);
/// Conductor with index n + ik seen from air. `cosIncident` in 0..1.
float fresnelConductor(float cosIncident, float n, float k);
/// Cosine of the transmitted ray, or a negative number at total reflection.
float cosTransmitted(float cosIncident, float eta);
/// Cosine-averaged reflectance over the hemisphere (n = 1.5: 0.0918 outside, 0.596 inside).
float averageFresnelDielectric(float eta);
/// Two surfaces, all internal bounces, polarisations averaged last; `internalTransmittance` is for
/// the slant path. Source: outside law 1.10 (incoherent slab).
struct SlabLight {
    float transmitted;
    float reflected;
};
SlabLight slab(float cosIncident, float ior, float internalTransmittance);

}  // namespace keyfall
