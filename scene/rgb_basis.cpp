// From RGB to reflectance in bands. The three bases are data: assets/spectra/rgb_basis.csv, fitted
// by tools/fit_rgb_basis.py. Not here: sRGB itself (colour.cpp).
#include <array>
#include <stdexcept>

#include "scene/fine_spectrum.h"
#include "scene/spectrum_csv.h"

namespace keyfall {
namespace {

std::array<Bands, 3> readBases() {
    const auto file = assetsDirectory() / "spectra" / "rgb_basis.csv";
    const SpectrumCsv csv = readSpectrumColumns(file);
    if (csv.value.size() != 3 || csv.wavelength_nm.size() != kBands)
        throw CsvError(file, 0, "three columns of 16 bands are needed");
    std::array<Bands, 3> bases;
    for (std::size_t c = 0; c < 3; ++c)
        for (std::size_t b = 0; b < kBands; ++b)
            bases[c].v[b] = static_cast<float>(csv.value[c][b]);
    return bases;
}

}  // namespace

Bands reflectanceFromRgb(glm::vec3 linear709) {
    static const std::array<Bands, 3> bases = readBases();
    Bands sum = linear709.r * bases[0];
    sum.addScaled(bases[1], linear709.g);
    sum.addScaled(bases[2], linear709.b);
    return sum;
}

}  // namespace keyfall
