// Exposure and white balance: what the camera's settings make of the light. Both are exact after
// tracing. Not here: the curve of the picture and its 8 bits (view.h).
#pragma once

#include <glm/glm.hpp>
#include <vector>

#include "renderer/photograph/develop.h"
#include "scene/fine_spectrum.h"
#include "scene/scene.h"

namespace keyfall {

/// Linear picture value at which the picture clips, and at which the raw file does: half a stop
/// above a 100 % reflector, 141 % (ISO 12232, saturation speed; README, "Numbers").
inline constexpr double kPictureClip = 1.0;
inline constexpr double kRawClip = 1.41;

/// N_eff = N(1 + m/p) of a camera focused as set; N where close-up loss is compensated.
double effectiveApertureOf(const Camera& camera);
/// Stops that the close-up costs, 0 or below: -2 log2(1 + m/p). Counted even where it is
/// compensated, as a report wants it.
double closeUp_stops(const Camera& camera);

/// Linear picture value per cd*s/m^2, calibration included:
///     pi * S / (C * N_eff^2) * 2^calibration
/// A matt surface of reflectance rho under light metered for N_eff shows at rho.
double pictureFactor(const Camera& camera);

/// The white that a picture is balanced for, as XYZ with Y = 1.
glm::dvec3 whiteOfTemperature(double temperature_K);
glm::dvec3 whiteOfLight(const BandXYZ& light);
/// The camera's white: its kelvin, its light's colour, or `automatic` (the light on a grey at the
/// subject, which the meter finds; any scale).
glm::dvec3 cameraWhite(const Camera& camera, const std::vector<Light>& lights,
                       glm::dvec3 automatic);

/// XYZ under `white` -> linear sRGB in which that white is neutral (Bradford to D65, luminance of
/// the white kept). A white without luminance (all lights off) counts as D65: nothing to balance.
glm::dmat3 balancedSrgbFromXyz(glm::dvec3 white);

/// Linear sRGB as the camera would record it, white balanced: 0.18 is a metered grey card, 1 clips.
/// Not limited: values above 1 and, for colours outside the gamut, below 0 are kept.
struct LinearImage : PixelImage {};
LinearImage expose(const XyzImage& image, double factor, glm::dvec3 white);

}  // namespace keyfall
