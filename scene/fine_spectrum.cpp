// Spectra at 1 nm, their sums with the observer, and the 16 bands. Data: assets/spectra, with its
// sources. Not here: chromaticity arithmetic (colour.cpp), where the data lies (assets.cpp).
#include "scene/fine_spectrum.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "scene/band_parts.h"
#include "scene/colour.h"
#include "scene/spectrum_csv.h"

namespace keyfall {
namespace {

constexpr std::size_t kCount = FineSpectrum::kCount;

double interpolate(const SpectrumTable& table, double nm) {
    const auto& x = table.wavelength_nm;
    if (nm <= x.front()) return table.value.front();
    if (nm >= x.back()) return table.value.back();
    const auto above =
        static_cast<std::size_t>(std::upper_bound(x.begin(), x.end(), nm) - x.begin());
    const double t = (nm - x[above - 1]) / (x[above] - x[above - 1]);
    return (1.0 - t) * table.value[above - 1] + t * table.value[above];
}

struct Observer {
    FineSpectrum x, y, z;
};

SpectrumCsv shipped(const char* name) {
    return readSpectrumColumns(assetsDirectory() / "spectra" / name);
}

const Observer& observer() {
    static const Observer instance = [] {
        const SpectrumCsv csv = shipped("cie_1931_2deg.csv");
        return Observer{resample(csv.column("xbar")), resample(csv.column("ybar")),
                        resample(csv.column("zbar"))};
    }();
    return instance;
}

/// Weights of toBands: ybar * D55, per sample.
const FineSpectrum& daylightLuminance() {
    static const FineSpectrum weight = [] {
        FineSpectrum w = resample(shipped("cie_illuminants.csv").column("d55"));
        for (std::size_t i = 0; i < kCount; ++i) w.value[i] *= observer().y.value[i];
        return w;
    }();
    return weight;
}

}  // namespace

FineSpectrum resample(const SpectrumTable& table) {
    FineSpectrum fine;
    for (std::size_t i = 0; i < kCount; ++i)
        fine.value[i] = interpolate(table, FineSpectrum::kFirst_nm + static_cast<double>(i));
    return fine;
}

const FineSpectrum& observerX() {
    return observer().x;
}
const FineSpectrum& observerY() {
    return observer().y;
}
const FineSpectrum& observerZ() {
    return observer().z;
}

Bands BandXYZ::luminance() const {
    Bands y;
    for (int b = 0; b < kBands; ++b) y[b] = static_cast<float>(xyz[static_cast<std::size_t>(b)].y);
    return y;
}

glm::dvec3 BandXYZ::total() const {
    glm::dvec3 sum{0.0};
    for (const glm::dvec3& band : xyz) sum += band;
    return sum;
}

// 683 * integral / flux, and flux = 683 * integral of S*ybar: the 683 lm/W cancels.
BandXYZ bandXYZ(const FineSpectrum& light) {
    BandXYZ bands;
    forEachBandPart([&](std::size_t i, int b, double part) {
        const glm::dvec3 matching{observer().x.value[i], observer().y.value[i],
                                  observer().z.value[i]};
        bands.xyz[static_cast<std::size_t>(b)] += light.value[i] * part * matching;
    });
    const double luminous = bands.total().y;
    if (!(luminous > 0.0)) throw std::invalid_argument("a spectrum without visible light");
    for (glm::dvec3& band : bands.xyz) band /= luminous;
    return bands;
}

Bands toBands(const FineSpectrum& factor) {
    const FineSpectrum& weight = daylightLuminance();
    std::array<double, kBands> sum{}, weights{};
    forEachBandPart([&](std::size_t i, int b, double part) {
        const auto band = static_cast<std::size_t>(b);
        sum[band] += weight.value[i] * part * factor.value[i];
        weights[band] += weight.value[i] * part;
    });
    Bands bands;
    for (std::size_t b = 0; b < kBands; ++b) bands.v[b] = static_cast<float>(sum[b] / weights[b]);
    return bands;
}

// Planck's law per wavelength, relative: 100 at 560 nm (the CIE's habit).
//     S ~ lambda^-5 / (exp(c2/(lambda T)) - 1),  c2 of ITS-90.
FineSpectrum planckian(double temperature_K) {
    if (!(temperature_K > 0.0)) throw std::invalid_argument("a Planckian needs kelvin above 0");
    constexpr double kC2_nmK = 1.438776877e7;
    const auto radiance = [temperature_K](double nm) {
        return std::pow(nm / 560.0, -5.0) / std::expm1(kC2_nmK / (nm * temperature_K));
    };
    FineSpectrum light;
    const double at560 = radiance(560.0);
    for (std::size_t i = 0; i < kCount; ++i)
        light.value[i] = 100.0 * radiance(FineSpectrum::kFirst_nm + static_cast<double>(i)) / at560;
    return light;
}

// CIE 15:2018, 4.1.2: S = S0 + M1*S1 + M2*S2 with M from the locus' (x, y). M is not rounded to
// three decimals as the printed procedure does: a lamp's colour has to change without steps.
FineSpectrum cieDaylight(double temperature_K) {
    static const std::array<FineSpectrum, 3> basis = [] {
        const SpectrumCsv csv = shipped("cie_daylight_basis.csv");
        return std::array{resample(csv.column("s0")), resample(csv.column("s1")),
                          resample(csv.column("s2"))};
    }();
    const Chromaticity c = daylightLocus(temperature_K);
    const double m = 0.0241 + 0.2562 * c.x - 0.7341 * c.y;
    const double m1 = (-1.3515 - 1.7703 * c.x + 5.9114 * c.y) / m;
    const double m2 = (0.0300 - 31.4424 * c.x + 30.0717 * c.y) / m;
    FineSpectrum light;
    for (std::size_t i = 0; i < kCount; ++i)
        light.value[i] = basis[0].value[i] + m1 * basis[1].value[i] + m2 * basis[2].value[i];
    return light;
}

// Between 4000 and 5000 K: shares of luminous flux, linear in mired, where steps look even.
FineSpectrum lampSpectrum(double temperature_K) {
    if (temperature_K <= 4000.0) return planckian(temperature_K);
    if (temperature_K >= 5000.0) return cieDaylight(temperature_K);
    const double daylightShare = miredShift(4000.0, temperature_K) / miredShift(4000.0, 5000.0);
    FineSpectrum warm = planckian(temperature_K), cool = cieDaylight(temperature_K);
    const auto luminous = [](const FineSpectrum& s) {
        double sum = 0.0;
        for (std::size_t i = 0; i < kCount; ++i) sum += s.value[i] * observer().y.value[i];
        return sum;
    };
    const double warmScale = (1.0 - daylightShare) / luminous(warm);
    const double coolScale = daylightShare / luminous(cool);
    FineSpectrum light;
    for (std::size_t i = 0; i < kCount; ++i)
        light.value[i] = 1e4 * (warmScale * warm.value[i] + coolScale * cool.value[i]);
    return light;
}

}  // namespace keyfall
