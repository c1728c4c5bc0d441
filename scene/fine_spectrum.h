// Spectra at 1 nm and their way into the 16 bands. Not here: chromaticity arithmetic (colour.h).
#pragma once

#include <array>
#include <filesystem>
#include <glm/glm.hpp>
#include <string>
#include <vector>

#include "scene/bands.h"

namespace keyfall {

/// A spectrum sampled each nanometre from 380 to 780 nm. Relative unless a caller says otherwise.
struct FineSpectrum {
    static constexpr int kFirst_nm = 380;
    static constexpr int kCount = 401;
    std::array<double, kCount> value{};

    double& at_nm(int nm) { return value[static_cast<std::size_t>(nm - kFirst_nm)]; }
    double at_nm(int nm) const { return value[static_cast<std::size_t>(nm - kFirst_nm)]; }
};

/// A table read from CSV: wavelengths (nm, rising) and one column of values.
struct SpectrumTable {
    std::vector<double> wavelength_nm;
    std::vector<double> value;
};

/// Linear interpolation to 1 nm; outside the table the end values hold.
/// Not checked: an empty table (the reader refuses it).
FineSpectrum resample(const SpectrumTable& table);

/// Light of a lamp, split over the bands, per unit of its luminous flux:
/// xyz[b] = 683 * integral over band b of S * (xbar, ybar, zbar), scaled so that the sum of Y is 1.
struct BandXYZ {
    std::array<glm::dvec3, kBands> xyz{};
    /// The Y row: luminance weights per band, summing to 1.
    Bands luminance() const;
    /// Sum over the bands: the XYZ of the lamp itself, Y = 1.
    glm::dvec3 total() const;
};

/// CIE 1931 2-degree observer at 1 nm, 380-780 (assets/spectra/cie_1931_2deg.csv).
const FineSpectrum& observerX();
const FineSpectrum& observerY();
const FineSpectrum& observerZ();

BandXYZ bandXYZ(const FineSpectrum& light);

/// A reflectance, transmittance or other factor as band means, weighted by ybar * D55 so that one
/// bounce of daylight keeps its luminance exactly; edge bands include 380-400 and 700-780 nm.
Bands toBands(const FineSpectrum& factor);

/// Relative spectra of lamps. Temperatures in kelvin, ITS-90 c2 = 1.438776877e-2 m K.
FineSpectrum planckian(double temperature_K);
FineSpectrum cieDaylight(double temperature_K);  ///< 4000-25000 K, CIE 15 S0 S1 S2
/// Contract: above 5000 K daylight, below 4000 K Planckian, blended in mired between.
FineSpectrum lampSpectrum(double temperature_K);

/// Smooth reflectance for a linear Rec. 709 colour: a weighted sum of three bases that sum to 1
/// (Mallett & Yuksel 2019, refitted to the bands under D65). RGB -> bands -> RGB within 0.5/255.
/// Values outside 0..1 are the caller's business.
Bands reflectanceFromRgb(glm::vec3 linear709);

/// The directory with the shipped data: $KEYFALL_ASSETS, else beside the program
/// (../share/keyfall/assets), else the source tree it was built from.
/// Throws std::runtime_error that names the places tried.
std::filesystem::path assetsDirectory();

}  // namespace keyfall
