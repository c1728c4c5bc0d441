// How alike two lights are in colour, and what that does to a surface. Not here: chromaticity and
// Lab arithmetic (colour.h), spectra (fine_spectrum.h), colours that were metered (renderer/meter).
#pragma once

#include <glm/glm.hpp>
#include <optional>
#include <string>

#include "scene/colour.h"
#include "scene/fine_spectrum.h"
#include "scene/material.h"

namespace keyfall {

/// Spectral similarity index of a test light against a reference light, not rounded: 100 for equal
/// spectra, below 0 for spectra with little in common. SMPTE ST 2122:2020 (the Academy's index of
/// 2016), from memory of the published definition:
///   * 30 bins of 10 nm around 380, 390, ... 670 nm, each the integral over its width by 1 nm steps
///     with half weights at the two ends; both spectra divided by the sum of their bins;
///   * difference over (reference + 1/30); weights 12/45 22/45 32/45 40/45 44/45 1 ... 1 11/15 3/15;
///   * a zero at either end, then the running mean .22 .56 .22;
///   * 100 - 32 sqrt(sum of squares).
/// The first bin begins at 375 nm and spectra here at 380: the value at 380 nm stands for those 5 nm.
/// Throws std::invalid_argument for a spectrum without light from 375 to 675 nm.
double spectralSimilarity(const FineSpectrum& test, const FineSpectrum& reference);
/// The index as it is stated: rounded to a whole number.
int spectralSimilarityIndex(const FineSpectrum& test, const FineSpectrum& reference);

/// What a light of this temperature is held against: a Planckian radiator up to 4000 K, CIE daylight
/// above and to 25000 K, where its definition ends (then 25000 K).
FineSpectrum referenceLight(double temperature_K);
bool referenceIsDaylight(double temperature_K);

/// Farther from the Planckian locus than this (CIE 1960 uv) a light has no correlated temperature
/// (CIE 15:2018, 9.5, from memory).
inline constexpr double kFarthestDuv = 0.05;
/// Two lights that differ by this much do not pass for one: the usual warning level of the trade.
inline constexpr double kMiredWarning = 10.0;
/// Difference in Duv at which one of two lights is seen to be green or magenta. Common practice, no source.
inline constexpr double kDuvWarning = 0.005;
/// Difference in mired, + where `to` is warmer. Empty where either light has a colour of its own.
std::optional<double> miredBetween(const Correlated& from, const Correlated& to);

/// Reflectance that gives a surface its colour: of a metal at normal incidence, else of the diffuse
/// part, a texture as its mean. Empty for glass, which has none.
std::optional<Bands> bodyReflectance(const Material& material);

/// XYZ (Y = 1 is a perfect white) of a matt surface under a light.
glm::dvec3 surfaceXyz(const Bands& reflectance, const BandXYZ& light);
/// Lab in a picture balanced to the light: adapted to D65 (Bradford, as the picture is).
glm::dvec3 balancedLab(const Bands& reflectance, const BandXYZ& light);
/// CIEDE2000 between the surface in a picture under `a` balanced to `a`, and one under `b` balanced
/// to `b`: what a white balance cannot mend.
double deltaEBalanced(const Bands& reflectance, const BandXYZ& a, const BandXYZ& b);

}  // namespace keyfall
