// How much light one bounce on GGX facets returns: directional albedos E(mu) and their cosine
// means, the numbers that energy compensation needs. Not here: the lobes (microfacet.h,
// bsdf_*.cpp).
//
// Nothing here has a closed form. The tables are filled at first use by fixed quadrature over
// visible normals: same machine code, same bytes, whatever the thread that comes first. Tens of
// milliseconds for all, each only when a material asks. Interpolation included they are within
// 1e-3 of the integrals (2e-3 for the stretched lobe above anisotropy 0.8); the means are those of
// the interpolated tables, so that compensated lobes add up exactly.
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
    float mean() const { return mean_; }

  private:
    float ax2_, ay2_;
    float qStart_, qScale_;  // azimuth -> table coordinate
    float alpha_, stretch_;  // places on the table's axes
    float mean_;
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
