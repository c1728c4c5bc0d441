// How much light one bounce on GGX facets returns: directional albedos E(mu) and their cosine
// means, the numbers that energy compensation needs. Not here: the lobes (microfacet.h,
// bsdf_*.cpp).
//
// Nothing here has a closed form. Table slices are filled when first asked for, by fixed quadrature
// over visible normals, about 1 ms a slice and four slices a material: same machine code, same
// bytes, whatever the thread that comes first. Interpolation included they are within 2e-3 of the
// integrals (typically 3e-4); the means are those of the tables, so that compensated lobes add up.
#pragma once

#include <glm/glm.hpp>

namespace keyfall {

/// E(mu) at F = 1, isotropic. `alpha` in 0..1, `mu` in 0..1.
float ggxAlbedo(float alpha, float mu);
float ggxAlbedoMean(float alpha);

/// The same for widths alphaX >= alphaY, as seen from the unit vector `w`, w.z >= 0.
struct StretchedAlbedo {
    StretchedAlbedo(float alphaX, float alphaY);
    float operator()(glm::vec3 w) const;
    float mean() const;

  private:
    float ax2_, ay2_;
    float qStart_, qScale_;  // section width -> azimuth axis
    float width_, stretch_;  // places on the table's axes
};

/// Share that a rough dielectric surface (n = ior > 1 inside) reflects in one bounce, seen from
/// outside. Ior beyond 3 is looked up as 3.
float coatAlbedo(float ior, float alpha, float mu);
float coatAlbedoMean(float ior, float alpha);

/// Share that leaves a rough dielectric boundary after one event, reflected or refracted (height-
/// correlated masking for reflection, the product of Smith's terms for refraction).
/// `eta` = n beyond / n on the side of the light; looked up within 1/3..3.
float boundaryAlbedo(float eta, float alpha, float mu);
float boundaryAlbedoMean(float eta, float alpha);

}  // namespace keyfall
