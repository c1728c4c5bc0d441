// Fresnel reflectance, unpolarised. Not here: lobes (microfacet.h).
#pragma once

#include <algorithm>
#include <cmath>

namespace keyfall {

/// Dielectric; `eta` = n_transmitted / n_incident. `cosIncident` >= 0. 1 beyond the critical angle.
float fresnelDielectric(float cosIncident, float eta);
/// Conductor with index n + ik seen from air. `cosIncident` in 0..1. Inline: the 16-band loops of
/// metals are vectorised around it. Source: Born & Wolf, 7th ed., section 14.2, solved for real
/// numbers:
///   a^2 + b^2 = sqrt((n^2 - k^2 - sin^2)^2 + 4 n^2 k^2),  2 a^2 = a^2 + b^2 + n^2 - k^2 - sin^2
///   R_s = (a^2+b^2 + c^2 - 2ac) / (a^2+b^2 + c^2 + 2ac)
///   R_p = R_s (c^2 (a^2+b^2) + sin^4 - 2ac sin^2) / (... + 2ac sin^2)
inline float fresnelConductor(float cosIncident, float n, float k) {
    const float cos2 = cosIncident * cosIncident;
    const float sin2 = 1.0F - cos2;
    const float t0 = n * n - k * k - sin2;
    const float a2b2 = std::sqrt(t0 * t0 + 4.0F * n * n * k * k);
    const float a = std::sqrt(std::max(0.5F * (a2b2 + t0), 0.0F));
    const float ac2 = 2.0F * a * cosIncident;
    const float tiny = 1e-30F;  // n = 1, k = 0 at grazing would be 0/0
    const float rs = (a2b2 + cos2 - ac2) / std::max(a2b2 + cos2 + ac2, tiny);
    const float even = cos2 * a2b2 + sin2 * sin2;
    const float rp = rs * (even - ac2 * sin2) / std::max(even + ac2 * sin2, tiny);
    return 0.5F * (rs + rp);
}
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
