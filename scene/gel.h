// Colour filters in front of a lamp. Not here: the figures a [gel.NAME] gives (library_gels.h).
#pragma once

#include <string>

#include "scene/fine_spectrum.h"

namespace keyfall {

/// A gel as a spectrum of transmittance, 0..1.
struct Gel {
    std::string name;
    FineSpectrum transmittance;
    double miredShift = 0.0;  ///< stated; 0 for neutral and green ones
    std::string source;
};

/// A smooth transmittance that turns a Planckian or daylight lamp of `from_K` into one of the mired
/// value 1e6/from_K + shift, as bright as the stated luminous transmittance under that lamp allows.
/// Throws std::invalid_argument when that would need more than 1 somewhere.
FineSpectrum transmittanceForShift(double from_K, double shift_mired, double luminousTransmittance);

/// A colour-compensating film that passes `luminous` of `light`: `density` above its base in the blue
/// and the red third of the spectrum (+, plus green), or of -density in the green one (-, minus green).
/// Throws std::invalid_argument when the density alone takes more than that.
FineSpectrum greenFilm(double density, const FineSpectrum& light, double luminous);

/// Light through a gel, still in the unit of `light`: the product.
FineSpectrum through(const FineSpectrum& light, const Gel& gel);
/// Luminous transmittance of `gel` for `light`: flux out over flux in.
double luminousTransmittance(const FineSpectrum& light, const Gel& gel);

}  // namespace keyfall
