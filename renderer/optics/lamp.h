// Luminous bodies as sample / pdf / intersect. Pure functions of a LampShape.
// Not here: a lamp's flux and colour (scene.h), which layer it feeds (stage).
#pragma once

#include <glm/glm.hpp>
#include <optional>

#include "scene/lamp_shape.h"

namespace keyfall {

/// A ray's first meeting with a lamp's body.
struct LampHit {
    float distance_m = 0.0F;
    /// Unit, geometric. Closed bodies: outward, also when met from inside. Disc and panel: of the
    /// face that was met, so it always looks back along the ray.
    glm::vec3 normal{0.0F};
    /// false: the dark back of a one-sided disc or panel, or a closed body seen from inside
    bool emits = true;
};

/// First hit with distance in (near_m, far_m). `direction` is unit. For a ring this is the exact
/// torus (double precision inside); no hit is ever reported from inside a closed body's far side
/// unless the origin is inside.
std::optional<LampHit> intersectLamp(const LampShape& lamp, glm::vec3 origin_m,
                                     glm::vec3 direction, float near_m, float far_m);

/// One direction towards a lamp, with the density it was drawn with.
struct LampSample {
    glm::vec3 toLight{0.0F};  ///< unit, from the point to the lamp
    float distance_m = 0.0F;
    float pdf_perSr = 0.0F;
};

/// What does not depend on the random numbers, computed once a shading point and lamp.
/// `normal` is the receiver's normal, or 0 for a receptor without one; panels use it to bend the
/// draw toward the cosine.
struct LampView {
    const LampShape* lamp = nullptr;
    glm::vec3 point_m{0.0F};
    glm::vec3 normal{0.0F};
    float solidAngle_sr = 0.0F;  ///< exact for sphere and panel, an estimate elsewhere
    // Technique's own constants (spherical rectangle corners, cone...).
    double k[16] = {};
    int technique = 0;  ///< 0: nothing luminous faces the point
};
LampView viewLamp(const LampShape& lamp, glm::vec3 point_m, glm::vec3 normal);

/// Draws a direction to the luminous surface as seen from the point:
///   panel: spherical rectangle (Urena, Fajardo, King 2013) with a cosine warp (Hart et al. 2020)
///          above kPanelBySolidAngle_sr, else uniform over the area;
///   sphere: uniform in the cone, with 1 - cos computed as s^2/(1+c);
///   tube, ring: over the part of the surface that can face the point, nearly even in solid angle;
///   disc: uniform over the area.
/// Empty: nothing luminous faces the point, or the drawn point faces away or is hidden by the
/// lamp's own body (a ring shades itself). Sampling and pdf reject the same set.
std::optional<LampSample> sampleLamp(const LampView& view, glm::vec2 u);

/// Density per steradian with which sampleLamp() would pick `direction`, whose first hit with the
/// lamp is `hit`; 0 where it never would.
/// Agrees with the drawn density to 1e-4, save within a thousandth of a curved body's outline, where
/// a float direction no longer says at what angle the surface was met.
float pdfLamp_perSr(const LampView& view, glm::vec3 direction, const LampHit& hit);

/// Surface that emits, m^2.
double emittingArea_m2(const LampShape& lamp);
/// Share of the emitted light that leaves without meeting the lamp's own body again; 1 for convex
/// shapes, less for a ring. By deterministic quadrature, relative error under 1e-4.
double leavingShare(const LampShape& lamp);
/// Luminance per unit of leaving flux: 1 / (pi * area * leavingShare), in 1/(sr m^2).
double luminancePerFlux_perSrM2(const LampShape& lamp);

/// Below it a panel is drawn uniformly by area: cheaper, and as even unless seen edge-on.
inline constexpr double kPanelBySolidAngle_sr = 0.05;

}  // namespace keyfall
