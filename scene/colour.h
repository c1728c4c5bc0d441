// Colorimetry: chromaticity, white points, adaptation, sRGB. Not here: spectra (fine_spectrum.h).
#pragma once

#include <glm/glm.hpp>

namespace keyfall {

struct Chromaticity {
    double x = 1.0 / 3;
    double y = 1.0 / 3;
};

Chromaticity chromaticity(glm::dvec3 xyz);
glm::dvec3 xyzFrom(Chromaticity c, double Y = 1.0);

/// CIE daylight locus (CIE 15), 4000-25000 K. Not the official white points: those come from the
/// spectra (cieDaylight).
Chromaticity daylightLocus(double temperature_K);
/// Correlated colour temperature: the nearest Planckian point in CIE 1960 uv, and the signed
/// distance Duv (+ above the locus). Search on the Planckian locus, 1000-25000 K.
struct Correlated {
    double temperature_K = 0.0;
    double duv = 0.0;
};
Correlated correlatedTemperature(Chromaticity c);
double miredShift(double from_K, double to_K);  ///< 1e6/to - 1e6/from

/// Linear Bradford adaptation: XYZ under white `from` to XYZ under white `to` (both Y = 1).
glm::dmat3 bradford(glm::dvec3 from, glm::dvec3 to);

/// Linear Rec. 709 / sRGB, D65 (0.3127, 0.3290); IEC 61966-2-1, matrices derived at full precision.
glm::dmat3 xyzFromLinearSrgb();
glm::dmat3 linearSrgbFromXyz();
glm::dvec3 whiteD65();
double encodeSrgb(double linear);   ///< 0.18 -> 0.4614; negative and >1 pass through the formula
double decodeSrgb(double encoded);

double cieLightness(double Y);      ///< L* of a relative luminance 0..1
glm::dvec3 labFromXyz(glm::dvec3 xyz, glm::dvec3 white);
double deltaE2000(glm::dvec3 lab1, glm::dvec3 lab2);

}  // namespace keyfall
