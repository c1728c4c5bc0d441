// Correlated colour temperature: the nearest point of the Planckian locus in CIE 1960 uv.
// Not here: spectra of lamps (fine_spectrum.cpp).
#include <algorithm>
#include <array>
#include <cmath>
#include <glm/glm.hpp>

#include "scene/colour.h"
#include "scene/fine_spectrum.h"

namespace keyfall {
namespace {

constexpr double kFirst_mired = 40.0;   // 25000 K
constexpr double kLast_mired = 1000.0;  // 1000 K
constexpr int kSteps = 96;              // 10 mired: the distance has one minimum inside three steps

glm::dvec2 uv1960(glm::dvec3 xyz) {
    const double d = xyz.x + 15.0 * xyz.y + 3.0 * xyz.z;
    return {4.0 * xyz.x / d, 6.0 * xyz.y / d};
}

glm::dvec2 locusUv(double mired) {
    return uv1960(bandXYZ(planckian(1e6 / mired)).total());
}

const std::array<glm::dvec2, kSteps + 1>& locusTable() {
    static const auto table = [] {
        std::array<glm::dvec2, kSteps + 1> uv;
        for (int i = 0; i <= kSteps; ++i)
            uv[static_cast<std::size_t>(i)] =
                locusUv(kFirst_mired + (kLast_mired - kFirst_mired) * i / kSteps);
        return uv;
    }();
    return table;
}

/// How far along the locus (towards higher mired) `uv` lies from the point at `mired`: zero where
/// the line to it is perpendicular to the locus. The tangent is a central difference.
double along(glm::dvec2 uv, double mired) {
    constexpr double h = 0.05;
    return glm::dot(uv - locusUv(mired), locusUv(mired + h) - locusUv(mired - h));
}

/// Where along() is 0 between two mired: false position that halves the value of an end which stays
/// ("Illinois", Dowell & Jarratt 1971, from memory): a handful of values where halving takes forty, and each
/// is three Planckian spectra. Without a zero between them: the end nearer to it.
double zeroBetween(glm::dvec2 uv, double low, double high) {
    double atLow = along(uv, low), atHigh = along(uv, high);
    if (!(atLow > 0.0)) return low;
    if (!(atHigh < 0.0)) return high;
    double mired = low;
    for (int i = 0, side = 0; i < 40; ++i) {
        const double before = mired;
        mired = (low * atHigh - high * atLow) / (atHigh - atLow);
        const double at = along(uv, mired);
        if (at == 0.0 || std::abs(mired - before) < 1e-9) break;
        if (at > 0.0) {
            low = mired, atLow = at;
            if (side == 1) atHigh *= 0.5;
            side = 1;
        } else {
            high = mired, atHigh = at;
            if (side == -1) atLow *= 0.5;
            side = -1;
        }
    }
    return mired;
}

}  // namespace

// A coarse search over a table, then the zero of along(): it is sharp, where a minimum of the distance
// is only known to half the digits.
Correlated correlatedTemperature(Chromaticity c) {
    const glm::dvec2 uv = uv1960(xyzFrom(c));
    const auto& table = locusTable();
    const auto nearer = [&uv](glm::dvec2 a, glm::dvec2 b) {
        return glm::distance(uv, a) < glm::distance(uv, b);
    };
    const auto nearest =
        static_cast<double>(std::min_element(table.begin(), table.end(), nearer) - table.begin());
    const double step = (kLast_mired - kFirst_mired) / kSteps;
    const double mired = zeroBetween(uv, std::max(kFirst_mired + (nearest - 1.0) * step, kFirst_mired),
                                     std::min(kFirst_mired + (nearest + 1.0) * step, kLast_mired));
    const glm::dvec2 away = uv - locusUv(mired);
    return {1e6 / mired, std::copysign(glm::length(away), away.y)};
}

}  // namespace keyfall
