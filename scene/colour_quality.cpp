// Spectral similarity and colour differences between lights. Sources in the header.
// Not here: CIEDE2000 and the adaptation themselves (colour.cpp).
#include "scene/colour_quality.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

namespace keyfall {
namespace {

constexpr int kFirstBin_nm = 375;
constexpr int kBinWidth_nm = 10;
constexpr std::size_t kBins = 30;
using Bins = std::array<double, kBins>;

double valueAt(const FineSpectrum& s, int nm) {
    return s.at_nm(std::max(nm, FineSpectrum::kFirst_nm));
}

Bins binsOf(const FineSpectrum& s) {
    Bins bins{};
    double sum = 0.0;
    for (std::size_t i = 0; i < kBins; ++i) {
        const int from_nm = kFirstBin_nm + kBinWidth_nm * static_cast<int>(i);
        for (int step = 0; step <= kBinWidth_nm; ++step)
            bins[i] += valueAt(s, from_nm + step) * (step == 0 || step == kBinWidth_nm ? 0.5 : 1.0);
        sum += bins[i];
    }
    if (!(sum > 0.0)) throw std::invalid_argument("a spectrum without light from 375 to 675 nm");
    for (double& bin : bins) bin /= sum;
    return bins;
}

double weightOf(std::size_t bin) {
    constexpr std::array kViolet{12.0 / 45, 22.0 / 45, 32.0 / 45, 40.0 / 45, 44.0 / 45};
    if (bin < kViolet.size()) return kViolet[bin];
    if (bin == kBins - 2) return 11.0 / 15;
    return bin == kBins - 1 ? 3.0 / 15 : 1.0;
}


/// A texture's mean colour, in linear light.
glm::vec3 meanColour(const Texture& texture) {
    std::array<double, 256> linear{};
    for (int i = 0; i < 256; ++i) linear[static_cast<std::size_t>(i)] = decodeSrgb(i / 255.0);
    glm::dvec3 sum(0.0);
    for (std::size_t i = 0; i + 2 < texture.srgb.size(); i += 3)
        sum += glm::dvec3(linear[texture.srgb[i]], linear[texture.srgb[i + 1]], linear[texture.srgb[i + 2]]);
    return glm::vec3(sum / std::max(1.0, static_cast<double>(texture.srgb.size() / 3)));
}

/// Fresnel at normal incidence: ((n - 1)^2 + k^2) / ((n + 1)^2 + k^2).
Bands normalReflectance(const ComplexIndex& index) {
    Bands r;
    for (int b = 0; b < kBands; ++b) {
        const float n = index.n[b], k2 = index.k[b] * index.k[b];
        r[b] = ((n - 1.0F) * (n - 1.0F) + k2) / ((n + 1.0F) * (n + 1.0F) + k2);
    }
    return r;
}

}  // namespace

double spectralSimilarity(const FineSpectrum& test, const FineSpectrum& reference) {
    const Bins t = binsOf(test), r = binsOf(reference);
    std::array<double, kBins + 2> difference{};  // with a zero at either end
    for (std::size_t i = 0; i < kBins; ++i)
        difference[i + 1] = weightOf(i) * (t[i] - r[i]) / (r[i] + 1.0 / 30);
    double squares = 0.0;
    for (std::size_t i = 1; i <= kBins; ++i) {
        const double smooth = 0.22 * difference[i - 1] + 0.56 * difference[i] + 0.22 * difference[i + 1];
        squares += smooth * smooth;
    }
    return 100.0 - 32.0 * std::sqrt(squares);
}

int spectralSimilarityIndex(const FineSpectrum& test, const FineSpectrum& reference) {
    return static_cast<int>(std::lround(spectralSimilarity(test, reference)));
}

bool referenceIsDaylight(double temperature_K) {
    return temperature_K >= 4000.0;
}

FineSpectrum referenceLight(double temperature_K) {
    if (!referenceIsDaylight(temperature_K)) return planckian(temperature_K);
    return cieDaylight(std::min(temperature_K, 25000.0));
}

std::optional<double> miredBetween(const Correlated& from, const Correlated& to) {
    if (std::abs(from.duv) > kFarthestDuv || std::abs(to.duv) > kFarthestDuv) return {};
    return miredShift(from.temperature_K, to.temperature_K);
}

std::optional<Bands> bodyReflectance(const Material& m) {
    if (m.base == Base::glass) return {};
    Bands r = m.base == Base::metal && m.index ? normalReflectance(*m.index) : m.reflectance;
    if (m.texture) r *= reflectanceFromRgb(meanColour(*m.texture));
    return r;
}

glm::dvec3 surfaceXyz(const Bands& reflectance, const BandXYZ& light) {
    glm::dvec3 xyz(0.0);
    for (int b = 0; b < kBands; ++b)
        xyz += static_cast<double>(reflectance[b]) * light.xyz[static_cast<std::size_t>(b)];
    return xyz;
}

glm::dvec3 balancedLab(const Bands& reflectance, const BandXYZ& light) {
    return labFromXyz(bradford(light.total(), whiteD65()) * surfaceXyz(reflectance, light), whiteD65());
}

double deltaEBalanced(const Bands& reflectance, const BandXYZ& a, const BandXYZ& b) {
    return deltaE2000(balancedLab(reflectance, a), balancedLab(reflectance, b));
}

}  // namespace keyfall
