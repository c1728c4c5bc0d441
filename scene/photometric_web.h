// Measured luminous intensity of a lamp by direction, as LM-63 and EULUMDAT files hold it.
// Not here: reading and writing the files (photometry_*.h), light on the set (renderer).
#pragma once

#include <glm/glm.hpp>
#include <optional>
#include <string>
#include <vector>

namespace keyfall {

/// Type C photometry (CIE 121): vertical angles from the nadir, which is the light's aim (z), round
/// to pi; horizontal angles counter-clockwise as seen against the nadir, 0 along the light's x.
struct PhotometricWeb {
    std::string file;                    ///< for reports
    std::vector<double> vertical_rad;    ///< ascending, within [0, pi]; dark beyond its ends
    std::vector<double> horizontal_rad;  ///< ascending, from 0 to 2 pi, both ends in (symmetries unfolded)
    std::vector<double> intensity_cd;    ///< [horizontal][vertical]; absolute, all factors applied
    /// Luminous opening, m: width along x, length along y; round: the diameters. 0: a point.
    glm::dvec2 opening_m{0.0};
    double height_m = 0.0;
    bool isRound = false;
    std::optional<double> statedFlux_lm;  ///< of the lamps in it, where the photometry is relative
    double watts = 0.0;
};

/// Linear in both angles between the measured directions; `direction` is unit, z the nadir.
double intensity_cd(const PhotometricWeb& web, glm::dvec3 direction);

/// Flux of exactly that interpolation, lm.
double fluxByInterpolation_lm(const PhotometricWeb& web);
/// Flux by zones: the mean of neighbouring intensities times the zone's solid angle, lm. The two
/// differ by 0.26 % on a 10 degree file.
double fluxByZones_lm(const PhotometricWeb& web);

}  // namespace keyfall
