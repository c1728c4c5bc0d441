// Photographic arithmetic: exposure, lens, ratios, ISO 12232, APEX. Numbers are taken as given.
// Not here: engraved series and readings (photo_engraved.cpp), power notation (photo_power.cpp).
#include "scene/photo.h"

#include <cmath>
#include <limits>
#include <numbers>

namespace keyfall {

using std::numbers::pi;

// Meter equation, ISO 2720:1974: N^2/t = E*S/C. With H = E*t:  N^2 = H*S/C.
double apertureFromExposure(double exposure_lxs, double iso, double meterC) {
    return std::sqrt(exposure_lxs * iso / meterC);
}

// Meter equation, ISO 2720:1974: N^2/t = L*S/K. With Q = L*t:  N^2 = Q*S/K.
double apertureFromLuminance(double luminance_cdsm2, double iso, double meterK) {
    return std::sqrt(luminance_cdsm2 * iso / meterK);
}

double exposureValue(double aperture, double shutter_s) {
    return std::log2(aperture * aperture / shutter_s);
}

double ev100(double aperture, double shutter_s, double iso) {
    return exposureValue(aperture, shutter_s) - std::log2(iso / 100.0);
}

// GN = N*d, N^2 = H*S/C, H = Q_I/d^2   =>   GN = sqrt(Q_I*S/C).
double guideNumber_m(double intensity_cds, double iso, double meterC) {
    return std::sqrt(intensity_cds * iso / meterC);
}

double exposureForAperture_lxs(double aperture, double iso, double meterC) {
    return meterC * aperture * aperture / iso;
}

// A matt surface of reflectance rho under H lx*s has Q = rho*H/pi. Metered, H = C*N^2/S, so that
// rho = pi*Q*S/(C*N^2): the value shown is the reflectance. README, "Numbers".
double pictureValue(double luminance_cdsm2, double iso, double effectiveAperture) {
    return pi * luminance_cdsm2 * iso / (kMeterC_flat * effectiveAperture * effectiveAperture);
}

// Thin lens: 1/f = 1/s + 1/v and m = v/s   =>   m = f/(s-f).
double magnification(double focalLength_m, double focus_m) {
    return focalLength_m / (focus_m - focalLength_m);
}

double effectiveAperture(double aperture, double m, double pupilRatio) {
    return aperture * (1.0 + m / pupilRatio);
}

double hyperfocal_m(double focalLength_m, double aperture, double coc_m) {
    return focalLength_m * focalLength_m / (aperture * coc_m) + focalLength_m;
}

// Blur c on the sensor, thin lens, H as above:  near = s(H-f)/(H+s-2f),  far = s(H-f)/(H-s).
// Identical to the blur-circle construction itself (the test builds that one).
DepthOfField depthOfField(double focalLength_m, double aperture, double focus_m, double coc_m) {
    const double h_m = hyperfocal_m(focalLength_m, aperture, coc_m);
    const double top = focus_m * (h_m - focalLength_m);
    DepthOfField depth;
    depth.near_m = top / (h_m + focus_m - 2.0 * focalLength_m);
    depth.far_m = focus_m < h_m ? top / (h_m - focus_m) : std::numeric_limits<double>::infinity();
    return depth;
}

// First dark ring of a round pupil: 2 * 1.21967 * lambda * N_eff; 1.21967 = 3.83170597/pi, the
// first zero of the Bessel function J1 (Abramowitz & Stegun, table 9.5).
double airyDiameter_m(double wavelength_m, double effectiveN) {
    constexpr double kFirstZeroOfJ1 = 3.8317059702075123;
    return 2.0 * kFirstZeroOfJ1 / pi * wavelength_m * effectiveN;
}

Ratios ratiosFromContrast(double stops) {
    const double ratio = std::exp2(stops);
    return {ratio, ratio - 1.0};
}

// ISO 12232:2006, annex: q = (pi/4)*T*v*cos^4(theta).
double focalPlaneFactor_q(double transmittance, double vignetting, double angle_rad) {
    return pi / 4.0 * transmittance * vignetting * std::pow(std::cos(angle_rad), 4);
}

double focalPlaneExposure_lxs(double luminance_cdm2, double aperture, double time_s,
                              double focalLength_m, double imageDistance_m, double q,
                              double flare_lxs) {
    const double extension = aperture * imageDistance_m / focalLength_m;
    return q * luminance_cdm2 * time_s / (extension * extension) + flare_lxs;
}

// ISO 12232:2006: S_sat = 78/H puts saturation half a stop above a 100 % reflector; SOS = 10/H.
double saturationSpeed(double exposure_lxs) {
    return 78.0 / exposure_lxs;
}
double standardOutputSpeed(double exposure_lxs) {
    return 10.0 / exposure_lxs;
}

double apexAperture(double aperture) {
    return std::log2(aperture * aperture);
}
double apexTime(double time_s) {
    return -std::log2(time_s);
}
double apexSpeed(double iso) {
    return std::log2(iso / 3.125);
}

}  // namespace keyfall
