// Photographic arithmetic as pure functions. SI units; angles radians. Names and conventions:
// contract in README, section "Numbers". Not here: colour (colour.h).
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "scene/scene.h"

namespace keyfall {

// --- Engraved numbers: f = 2^(k/6), t = 2^(-k/3) s, S = 100 * 2^(k/3) ---
/// The exact step a nominal third- or full-stop number names; any other number is literal.
Engraved engravedAperture(double asWritten);
Engraved engravedShutter(double asWritten_s);
Engraved engravedIso(double asWritten);

// --- Exposure. C = 250 flat, 330 dome (lx*s*ISO); K = 12.5 (cd/m^2*s*ISO): ISO 2720:1974 ---
inline constexpr double kMeterC_flat = 250.0;
inline constexpr double kMeterC_dome = 330.0;
inline constexpr double kMeterK = 12.5;
/// Reflectance of a grey card, and the picture value that it shows at.
inline constexpr double kMidGrey = 0.18;

/// f-number for correct exposure from an incident luminous exposure H = E*t (lx*s): N^2 = H*S/C.
double apertureFromExposure(double exposure_lxs, double iso, double meterC = kMeterC_flat);
/// f-number from a spot reading Q = L*t (cd*s/m^2): N^2 = Q*S/K.
double apertureFromLuminance(double luminance_cdsm2, double iso, double meterK = kMeterK);
/// 2^EV = N^2/t.
double exposureValue(double aperture, double shutter_s);
double ev100(double aperture, double shutter_s, double iso);
/// Guide number in metres: sqrt(Q_I * S / C), Q_I integrated intensity in cd*s.
double guideNumber_m(double intensity_cds, double iso = 100.0, double meterC = kMeterC_flat);
/// Luminous exposure that a flat meter shows as f/N: H = C*N^2/S.
double exposureForAperture_lxs(double aperture, double iso, double meterC = kMeterC_flat);
/// Linear picture value, 0.18 for a metered grey card: pi*L*t*S/(C*N_eff^2) for Q = L*t.
double pictureValue(double luminance_cdsm2, double iso, double effectiveAperture);

// --- Readings: the whole stop at or below and tenths, "f/8 9/10"; rounding carries ---
std::string apertureReading(double aperture);
/// The inverse, "f/16 3/10" or "16" or 16: an exact f-number. Empty when the text is none.
std::optional<double> parseApertureReading(std::string_view text);

// --- Power: 1.0, "1/4", "1/4+0.3", "60%", "-1.3 stops" -> stops under full (0 = full) ---
struct PowerOrError {
    double stops = 0.0;      ///< -infinity for power 0
    std::string error;       ///< empty when good
};
PowerOrError parsePower(std::string_view text);
std::string canonicalPower(double stops);  ///< "1/4+0.3", "1/1", "0"
/// "1/125", "2", "0.5": seconds. Empty when the text is none or not above 0.
std::optional<double> parseTime_s(std::string_view text);

// --- Lens, thin; distances from the lens along the axis ---
double magnification(double focalLength_m, double focus_m);                 ///< f/(s-f)
double effectiveAperture(double aperture, double m, double pupilRatio);     ///< N(1+m/p)
double hyperfocal_m(double focalLength_m, double aperture, double coc_m);   ///< f^2/(N c) + f
struct DepthOfField {
    double near_m = 0.0;
    double far_m = 0.0;  ///< infinity beyond the hyperfocal distance
};
DepthOfField depthOfField(double focalLength_m, double aperture, double focus_m, double coc_m);
double airyDiameter_m(double wavelength_m, double effectiveAperture);

// --- Ratios ---
/// (key+fill):fill = 2^stops between the lit and the shadow reading; key:fill is one less.
struct Ratios {
    double kf_f = 1.0;
    double k_f = 0.0;
};
Ratios ratiosFromContrast(double stops);

// --- ISO 12232:2006 ---
double focalPlaneFactor_q(double transmittance, double vignetting, double angle_rad);
/// H = q*L*t*F^2/(N^2*i^2) + flare; F = focal length, i = image distance.
double focalPlaneExposure_lxs(double luminance_cdm2, double aperture, double time_s,
                              double focalLength_m, double imageDistance_m, double q,
                              double flare_lxs = 0.0);
double saturationSpeed(double exposure_lxs);      ///< 78/H
double standardOutputSpeed(double exposure_lxs);  ///< 10/H

// --- APEX ---
double apexAperture(double aperture);  ///< Av = log2 N^2
double apexTime(double time_s);        ///< Tv = -log2 t
double apexSpeed(double iso);          ///< Sv = log2(S/3.125)

}  // namespace keyfall
