// Colorimetry: chromaticity, white points, adaptation, sRGB, Lab. Sources beside each constant.
// Not here: spectra (fine_spectrum.cpp), the picture's white balance (renderer/photograph).
#include "scene/colour.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "scene/fine_spectrum.h"

namespace keyfall {

using std::numbers::pi;

Chromaticity chromaticity(glm::dvec3 xyz) {
    const double sum = xyz.x + xyz.y + xyz.z;
    return {xyz.x / sum, xyz.y / sum};
}

glm::dvec3 xyzFrom(Chromaticity c, double Y) {
    return {Y * c.x / c.y, Y, Y * (1.0 - c.x - c.y) / c.y};
}

// CIE 15:2018, 4.1.2. Two polynomials meet at 7000 K.
Chromaticity daylightLocus(double temperature_K) {
    if (!(temperature_K >= 4000.0 && temperature_K <= 25000.0))
        throw std::invalid_argument("CIE daylight is defined from 4000 to 25000 K");
    const double t = 1000.0 / temperature_K;
    const double x = temperature_K <= 7000.0
                         ? ((-4.6070 * t + 2.9678) * t + 0.09911) * t + 0.244063
                         : ((-2.0064 * t + 1.9018) * t + 0.24748) * t + 0.237040;
    return {x, (-3.0 * x + 2.870) * x - 0.275};
}

double miredShift(double from_K, double to_K) {
    return 1e6 / to_K - 1e6 / from_K;
}

// Von Kries scaling in the Bradford cone space; matrix of Lam (1985) as printed in ICC.1:2010,
// annex E.
glm::dmat3 bradford(glm::dvec3 from, glm::dvec3 to) {
    const glm::dmat3 cone = glm::transpose(glm::dmat3{0.8951, 0.2664, -0.1614,  //
                                                      -0.7502, 1.7135, 0.0367,  //
                                                      0.0389, -0.0685, 1.0296});
    const glm::dvec3 gain = (cone * to) / (cone * from);
    const glm::dmat3 scale{{gain.x, 0, 0}, {0, gain.y, 0}, {0, 0, gain.z}};
    return glm::inverse(cone) * scale * cone;
}

glm::dvec3 whiteD65() {
    return xyzFrom({0.3127, 0.3290});
}

// IEC 61966-2-1: primaries of ITU-R BT.709. The columns are the primaries, scaled so that their
// sum is the white.
glm::dmat3 xyzFromLinearSrgb() {
    const glm::dmat3 primaries{xyzFrom({0.64, 0.33}), xyzFrom({0.30, 0.60}), xyzFrom({0.15, 0.06})};
    const glm::dvec3 scale = glm::inverse(primaries) * whiteD65();
    return {primaries[0] * scale.x, primaries[1] * scale.y, primaries[2] * scale.z};
}

glm::dmat3 linearSrgbFromXyz() {
    return glm::inverse(xyzFromLinearSrgb());
}

// IEC 61966-2-1:1999, 5.2.
double encodeSrgb(double linear) {
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1.0 / 2.4) - 0.055;
}

double decodeSrgb(double encoded) {
    return encoded <= 0.04045 ? encoded / 12.92 : std::pow((encoded + 0.055) / 1.055, 2.4);
}

namespace {

// CIE 15:2018, 8.2.1: cube root, and a straight line below (6/29)^3.
double labCurve(double t) {
    constexpr double d = 6.0 / 29.0;
    return t > d * d * d ? std::cbrt(t) : t / (3.0 * d * d) + 4.0 / 29.0;
}

}  // namespace

double cieLightness(double Y) {
    return 116.0 * labCurve(Y) - 16.0;
}

glm::dvec3 labFromXyz(glm::dvec3 xyz, glm::dvec3 white) {
    const double x = labCurve(xyz.x / white.x), y = labCurve(xyz.y / white.y);
    const double z = labCurve(xyz.z / white.z);
    return {116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)};
}

namespace {

constexpr double kDegree = pi / 180.0;

struct Hue {
    double chroma, angle_deg;
};

Hue hueOf(double a, double b) {
    const double angle = std::atan2(b, a) / kDegree;
    return {std::hypot(a, b), angle < 0.0 ? angle + 360.0 : angle};
}

/// Mean of two hues across the shorter way; a grey takes the other's hue (Sharma et al., eq. 14).
double meanHue_deg(Hue p, Hue q) {
    const double sum = p.angle_deg + q.angle_deg;
    if (p.chroma * q.chroma == 0.0) return sum;
    if (std::abs(p.angle_deg - q.angle_deg) <= 180.0) return sum / 2.0;
    return sum < 360.0 ? (sum + 360.0) / 2.0 : (sum - 360.0) / 2.0;
}

double hueDifference_deg(Hue p, Hue q) {
    if (p.chroma * q.chroma == 0.0) return 0.0;
    const double d = q.angle_deg - p.angle_deg;
    return d > 180.0 ? d - 360.0 : d < -180.0 ? d + 360.0 : d;
}

double pow7Share(double chroma) {
    const double c7 = std::pow(chroma, 7.0);
    return std::sqrt(c7 / (c7 + 6103515625.0));  // 25^7
}

}  // namespace

// CIEDE2000 with kL = kC = kH = 1, in the notation of Sharma, Wu & Dalal, Color Research &
// Application 30(1), 2005.
double deltaE2000(glm::dvec3 lab1, glm::dvec3 lab2) {
    const double meanC = (std::hypot(lab1.y, lab1.z) + std::hypot(lab2.y, lab2.z)) / 2.0;
    const double stretch = 1.5 - 0.5 * pow7Share(meanC);  // 1 + G
    const Hue p = hueOf(stretch * lab1.y, lab1.z), q = hueOf(stretch * lab2.y, lab2.z);

    const double dL = lab2.x - lab1.x, dC = q.chroma - p.chroma;
    const double dH =
        2.0 * std::sqrt(p.chroma * q.chroma) * std::sin(hueDifference_deg(p, q) / 2.0 * kDegree);
    const double L = (lab1.x + lab2.x) / 2.0 - 50.0, C = (p.chroma + q.chroma) / 2.0;
    const double h = meanHue_deg(p, q);
    const double T =
        1.0 - 0.17 * std::cos((h - 30.0) * kDegree) + 0.24 * std::cos(2.0 * h * kDegree) +
        0.32 * std::cos((3.0 * h + 6.0) * kDegree) - 0.20 * std::cos((4.0 * h - 63.0) * kDegree);
    const double sL = 1.0 + 0.015 * L * L / std::sqrt(20.0 + L * L);
    const double sC = 1.0 + 0.045 * C, sH = 1.0 + 0.015 * C * T;
    const double turn = 30.0 * std::exp(-std::pow((h - 275.0) / 25.0, 2.0)) * kDegree;
    const double rT = -std::sin(2.0 * turn) * 2.0 * pow7Share(C);
    const double l = dL / sL, c = dC / sC, k = dH / sH;
    return std::sqrt(l * l + c * c + k * k + rT * c * k);
}

}  // namespace keyfall
