// Square-to-disk, -hemisphere and -sphere maps. Not here: lamps and lobes.
#include "renderer/optics/warp.h"

#include <algorithm>
#include <cmath>

#include "renderer/optics/warp_trig.h"

namespace keyfall {

namespace {

constexpr float kInvPi = static_cast<float>(1.0 / kPi);

/// The direction with this cosine to +z, `turns` of a circle around it.
glm::vec3 aroundZ(double cosTheta, double sin2Theta, double turns) {
    const double sinTheta = std::sqrt(std::max(0.0, sin2Theta));
    const SinCos phi = sinCosTurns(turns);
    return glm::vec3(glm::dvec3(sinTheta * phi.cos, sinTheta * phi.sin, cosTheta));
}

}  // namespace

// Squares around the middle go to circles, so neighbours stay neighbours and a (0,2)-net keeps most
// of its evenness; the polar map tears it at the middle.
// Source: Shirley & Chiu, "A Low Distortion Map Between Disk and Square", JGT 2(3), 1997.
//
// With r the larger coordinate and t = smaller/larger in [-1, 1], the angle from r's axis is
// pi/4 * t: no more than an eighth of a turn, so sine and cosine need no reduction and floats do.
// Taylor to x^9 and x^8: the first terms left out are under 2e-9 and 3e-8. Twice as fast as the
// general sine, and every camera ray and matt bounce draws one.
glm::vec2 sampleDisk(glm::vec2 u) {
    const float a = 2.0F * u.x - 1.0F;
    const float b = 2.0F * u.y - 1.0F;
    const bool alongX = std::fabs(a) > std::fabs(b);
    const float radius = alongX ? a : b;
    if (radius == 0.0F) return {0.0F, 0.0F};
    const float x = static_cast<float>(0.25 * kPi) * ((alongX ? b : a) / radius);
    const float q = x * x;
    const float sine = x * (1.0F + q * (-1.0F / 6 + q * (1.0F / 120 + q * (-1.0F / 5040 + q / 362880))));
    const float cosine = 1.0F + q * (-0.5F + q * (1.0F / 24 + q * (-1.0F / 720 + q / 40320)));
    return alongX ? glm::vec2(radius * cosine, radius * sine) : glm::vec2(radius * sine, radius * cosine);
}

// A uniform disk lifted to the hemisphere has density cos/pi (Malley's method).
glm::vec3 sampleCosineHemisphere(glm::vec2 u) {
    const glm::vec2 d = sampleDisk(u);
    return {d.x, d.y, std::sqrt(std::max(0.0F, 1.0F - d.x * d.x - d.y * d.y))};
}

float pdfCosineHemisphere_perSr(float cosTheta) { return std::max(0.0F, cosTheta) * kInvPi; }

glm::vec3 sampleUniformSphere(glm::vec2 u) {
    const double z = 1.0 - 2.0 * static_cast<double>(u.x);
    return aroundZ(z, 1.0 - z * z, static_cast<double>(u.y));
}

float pdfUniformSphere_perSr() { return 0.25F * kInvPi; }

// p(z) = (1 + z)/2 on [-1, 1]; its integral (1 + z)^2/4 = x gives z = 2 sqrt(x) - 1.
// x = 1 - u keeps u = 0 on the dome's axis.
glm::vec3 sampleDome(glm::vec2 u) {
    const double z = 2.0 * std::sqrt(1.0 - static_cast<double>(u.x)) - 1.0;
    return aroundZ(z, 1.0 - z * z, static_cast<double>(u.y));
}

float pdfDome_perSr(float cosTheta) {
    return std::max(0.0F, 1.0F + cosTheta) * 0.25F * kInvPi;
}

}  // namespace keyfall
