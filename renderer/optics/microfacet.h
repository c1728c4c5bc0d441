// The GGX microfacet distribution with Smith's masking, written so that nothing divides by a
// cosine. Not here: energy that bounces between facets (energy_table.h), whole materials
// (bsdf_*.cpp).
//
// Sources: Walter, Marschner, Li & Torrance, EGSR 2007 (GGX, refraction); Heitz, JCGT 3(2), 2014
// (Smith, height-correlated G2); Dupuy & Benyoub, HPG 2023 (visible normals by spherical caps).
// With  s(w) = sqrt(z^2 + ax^2 x^2 + ay^2 y^2)  Smith's term is  1 + Lambda = (z + s) / 2z, so
//   G1(o) / z_o        = 2 / (z_o + s_o)
//   G2 / (4 z_o z_i)   = 1 / (2 (s_o z_i + s_i z_o))
#pragma once

#include <algorithm>
#include <cmath>
#include <glm/glm.hpp>
#include <numbers>

#include "renderer/optics/warp_trig.h"

namespace keyfall {

/// Widths along the surface's x and y. Both >= kSpecularAlpha.
struct Ggx {
    float ax = 1.0F;
    float ay = 1.0F;
};

/// alpha = roughness^2, stretched along x by `anisotropy` at constant mean square. The floor keeps
/// a fully stretched surface from being a mirror across.
/// Source: OpenPBR specification 1.1.1, section on microfacet roughness.
inline Ggx ggxOf(float roughness, float anisotropy, float floor) {
    const float alpha = roughness * roughness;
    const float b = 1.0F - anisotropy;
    const float along = alpha * std::sqrt(2.0F / (1.0F + b * b));
    return {std::max(along, floor), std::max(along * b, floor)};
}

/// Smith's length s(w) of the note above.
inline float smithLength(const Ggx& g, glm::vec3 w) {
    const float x = g.ax * w.x;
    const float y = g.ay * w.y;
    return std::sqrt(w.z * w.z + x * x + y * y);
}

/// Density of facet normals, per steradian: the integral of D(h) h.z over the hemisphere is 1.
inline float ggxD(const Ggx& g, glm::vec3 h) {
    const float x = h.x / g.ax;
    const float y = h.y / g.ay;
    const float t = x * x + y * y + h.z * h.z;
    return 1.0F / (std::numbers::pi_v<float> * g.ax * g.ay * t * t);
}

/// A facet normal as seen from `wo` (wo.z > 0), with density visibleNormalPdf_perSr().
inline glm::vec3 sampleVisibleNormal(const Ggx& g, glm::vec3 wo, glm::vec2 u) {
    // Stretch to the unit hemisphere of facets, draw the cap of mirrored directions, stretch back.
    const glm::vec3 up = glm::normalize(glm::vec3(g.ax * wo.x, g.ay * wo.y, wo.z));
    const SinCos phi = sinCosTurns(static_cast<double>(u.x));
    const float z = (1.0F - u.y) * (1.0F + up.z) - up.z;
    const float r = std::sqrt(std::max(1.0F - z * z, 0.0F));
    const glm::vec3 h =
        glm::vec3(r * static_cast<float>(phi.cos), r * static_cast<float>(phi.sin), z) + up;
    return glm::normalize(glm::vec3(g.ax * h.x, g.ay * h.y, std::max(h.z, 1e-7F)));
}

/// D(h) G1(o) max(o.h, 0) / z_o.
inline float visibleNormalPdf_perSr(const Ggx& g, glm::vec3 wo, glm::vec3 h) {
    return ggxD(g, h) * 2.0F * std::max(glm::dot(wo, h), 0.0F) / (wo.z + smithLength(g, wo));
}

/// Density of the mirrored direction: the visible-normal density over 4 o.h.
inline float reflectedPdf_perSr(const Ggx& g, glm::vec3 wo, glm::vec3 h) {
    return 0.5F * ggxD(g, h) / (wo.z + smithLength(g, wo));
}

/// D G2 / (4 z_o z_i) * z_i: the lobe times its cosine, for F = 1. Both above the surface.
inline float reflectedLobe_perSr(const Ggx& g, glm::vec3 wo, glm::vec3 wi, glm::vec3 h) {
    const float masking = smithLength(g, wo) * wi.z + smithLength(g, wi) * wo.z;
    return 0.5F * ggxD(g, h) * wi.z / std::max(masking, 1e-30F);
}

/// Smith's masking of one direction, z > 0.
inline float smithG1(const Ggx& g, glm::vec3 w) {
    return 2.0F * w.z / (w.z + smithLength(g, w));
}

/// Directions for the light that bounced between facets. On narrow lobes it leaves near the
/// surface, at mu of the order of alpha, where a cosine draw comes too seldom and with weights in
/// the hundreds. Half of the draws are cosine-weighted, half by a density that peaks there:
///   p = cos/pi (1 + b^2 (1 + b^2) / (mu^2 + b^2)^2) / 2,   b = 3 alpha
inline float bouncedPdf_perSr(float alpha, float mu) {
    const float b2 = 9.0F * alpha * alpha;
    const float near = b2 / (mu * mu + b2);
    return 0.5F * mu * std::numbers::inv_pi_v<float> * (1.0F + near * near * (1.0F + 1.0F / b2));
}

inline glm::vec3 sampleBounced(float alpha, glm::vec2 u) {
    const float b2 = 9.0F * alpha * alpha;
    const bool grazing = u.x < 0.5F;
    const float x = grazing ? 2.0F * u.x : 2.0F * u.x - 1.0F;
    const float mu2 = grazing ? b2 * x / (1.0F + b2 - x) : x;  // x is the share below mu
    const float sine = std::sqrt(std::max(1.0F - mu2, 0.0F));
    const SinCos phi = sinCosTurns(static_cast<double>(u.y));
    return {sine * static_cast<float>(phi.cos), sine * static_cast<float>(phi.sin), std::sqrt(mu2)};
}

}  // namespace keyfall
