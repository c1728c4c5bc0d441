// The luminous body of a lamp as plain geometry, and what it sends along its axis.
// Not here: sampling it (renderer/optics/lamp.h).
#pragma once

#include <glm/glm.hpp>

#include "scene/frame.h"

namespace keyfall {

enum class LampKind { sphere, tube, ring, disc, panel };

/// A Lambertian emitter of uniform luminance. Sizes in metres:
///   sphere  a = diameter                     tube  a = length along frame.x, b = diameter; closed
///   ring    a = diameter of the tube's centre line, b = tube diameter; its axis is frame.z
///   disc    a = diameter, faces frame.z      panel a = width along x, b = height along y, faces z
/// The whole surface emits (tube: the two flat ends too); disc and panel emit from the front, and
/// from the back when `bothSides`.
struct LampShape {
    LampKind kind = LampKind::sphere;
    glm::vec3 centre_m{0.0F};
    Frame frame;
    float a_m = 0.03F;
    float b_m = 0.0F;
    bool bothSides = false;
};

/// Surface that emits, m^2: both faces of a disc or panel that shines from both.
double emitterArea_m2(const LampShape& lamp);

/// Share of the emitted light that leaves without meeting the lamp's own body again: 1 for convex
/// bodies, less for a ring, which shades itself. By deterministic quadrature, relative error under
/// 1e-5. Not checked: a ring's tube must be thinner than the ring.
double emitterLeavingShare(const LampShape& lamp);

/// Luminance per unit of the flux that leaves: Phi = pi * L * A * share, in 1/(sr m^2).
double emitterLuminancePerFlux_perSrM2(const LampShape& lamp);

/// Luminous area as seen from far away along frame.z, m^2: intensity on the axis = L * this.
double axisArea_m2(const LampShape& lamp);

/// Illuminance per luminance on a flat receptor that faces the lamp, on its frame.z axis at
/// `distance_m` from its centre: E = L * this, in sr. Far away it is axisArea / distance^2.
/// Not checked: a receptor inside the body.
double axisProjectedSolidAngle_sr(const LampShape& lamp, double distance_m);

/// How far the body reaches from its centre along frame.z, m.
double axisReach_m(const LampShape& lamp);

/// Whether the point lies inside the body. Disc and panel have no inside.
bool holds(const LampShape& lamp, glm::vec3 point_m);

}  // namespace keyfall
