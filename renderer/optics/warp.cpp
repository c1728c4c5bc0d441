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
glm::vec2 sampleDisk(glm::vec2 u) {
    const double a = 2.0 * static_cast<double>(u.x) - 1.0;
    const double b = 2.0 * static_cast<double>(u.y) - 1.0;
    if (a == 0.0 && b == 0.0) return {0.0F, 0.0F};
    const bool alongX = std::fabs(a) > std::fabs(b);
    const double radius = alongX ? a : b;
    // pi/4 * b/a is 1/8 of a turn times b/a; the other wedge counts back from a quarter turn.
    const SinCos phi = sinCosTurns(alongX ? 0.125 * (b / a) : 0.25 - 0.125 * (a / b));
    return glm::vec2(glm::dvec2(radius * phi.cos, radius * phi.sin));
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
