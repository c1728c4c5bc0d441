// Fresnel reflectance of dielectrics, conductors and panes. Formulas: Born & Wolf, Principles of
// Optics, 7th ed., sections 1.5.2 and 14.2. Not here: lobes (microfacet.h), media (stage).
#include "renderer/optics/fresnel.h"

#include <algorithm>
#include <cmath>

namespace keyfall {
namespace {

constexpr float kNearlyZero = 1e-30F;  // keeps 0/0 out of the index-matched grazing corner

struct Polarised {
    float s;
    float p;
};

/// Reflectances per polarisation; both 1 beyond the critical angle.
///   r_s = (c - eta ct)/(c + eta ct),  r_p = (eta c - ct)/(eta c + ct)
Polarised reflectances(float cosIncident, float eta) {
    const float cosT = cosTransmitted(cosIncident, eta);
    if (cosT < 0.0F) return {1.0F, 1.0F};
    const float s = (cosIncident - eta * cosT) / std::max(cosIncident + eta * cosT, kNearlyZero);
    const float p = (eta * cosIncident - cosT) / std::max(eta * cosIncident + cosT, kNearlyZero);
    return {s * s, p * p};
}

/// One polarisation of the incoherent slab: geometric series of all internal bounces.
///   T = (1-R)^2 t / (1 - R^2 t^2),   reflected = R (1 + t T)
SlabLight slabPolarised(float reflectance, float t) {
    const float passing = 1.0F - reflectance;
    const float left = std::max(1.0F - reflectance * reflectance * t * t, kNearlyZero);
    const float transmitted = passing * passing * t / left;
    return {transmitted, reflectance * (1.0F + t * transmitted)};
}

/// Cosine average for n > 1, closed form: Walsh 1926 / Duntley 1942, as printed in Egan & Hilgeman,
/// Optical Properties of Inhomogeneous Materials, 1979, p. 148 (from memory; tested by quadrature).
double averageOutside(double n) {
    const double n2 = n * n, n4 = n2 * n2;
    const double logRatio = std::log((n - 1.0) / (n + 1.0));
    return 0.5 + (n - 1.0) * (3.0 * n + 1.0) / (6.0 * (n + 1.0) * (n + 1.0)) +
           n2 * (n2 - 1.0) * (n2 - 1.0) / std::pow(n2 + 1.0, 3.0) * logRatio -
           2.0 * n2 * n * (n2 + 2.0 * n - 1.0) / ((n2 + 1.0) * (n4 - 1.0)) +
           8.0 * n4 * (n4 + 1.0) / ((n2 + 1.0) * (n4 - 1.0) * (n4 - 1.0)) * std::log(n);
}

}  // namespace

float cosTransmitted(float cosIncident, float eta) {
    // Snell: sin_t = sin_i / eta
    const float sin2 = (1.0F - cosIncident * cosIncident) / (eta * eta);
    return sin2 > 1.0F ? -1.0F : std::sqrt(1.0F - sin2);
}

float fresnelDielectric(float cosIncident, float eta) {
    if (eta == 1.0F) return 0.0F;
    const Polarised r = reflectances(cosIncident, eta);
    return 0.5F * (r.s + r.p);
}

float averageFresnelDielectric(float eta) {
    // The closed form subtracts terms of size (n-1)^-2; below this it is joined to 0 by a straight
    // line, at most 1e-3 off.
    constexpr double kJoin = 1.0005;
    const double n = eta < 1.0F ? 1.0 / static_cast<double>(eta) : static_cast<double>(eta);
    const double outside =
        n < kJoin ? averageOutside(kJoin) * (n - 1.0) / (kJoin - 1.0) : averageOutside(n);
    // Both sides exchange the same flux: (1 - F_inside) n^2 = 1 - F_outside.
    return static_cast<float>(eta < 1.0F ? 1.0 - (1.0 - outside) / (n * n) : outside);
}

SlabLight slab(float cosIncident, float ior, float internalTransmittance) {
    if (ior == 1.0F) return {internalTransmittance, 0.0F};
    const Polarised r = reflectances(cosIncident, ior);
    const SlabLight s = slabPolarised(r.s, internalTransmittance);
    const SlabLight p = slabPolarised(r.p, internalTransmittance);
    return {0.5F * (s.transmitted + p.transmitted), 0.5F * (s.reflected + p.reflected)};
}

}  // namespace keyfall
