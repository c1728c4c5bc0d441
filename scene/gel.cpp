// Colour filters: light through them, and smooth films that are known by their figures alone.
// Not here: which figures a gel has (library_gels.h), the lamps that wear them (read_lights.cpp).
#include "scene/gel.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <stdexcept>

#include "scene/colour.h"

namespace keyfall {
namespace {

constexpr auto kWavelengths = static_cast<std::size_t>(FineSpectrum::kCount);

double wavelength_nm(std::size_t i) { return FineSpectrum::kFirst_nm + static_cast<double>(i); }

/// A film's logarithm before it saturates: base + slope u + bend u^2, u = 1/lambda - 1/560 nm in 1/um.
/// In the Wien range exp(-c2 shift u) turns one Planckian into another, so `slope` alone nearly does.
using Film = glm::dvec3;

/// w is what the exponential asks for; w / (1 + w^4)^(1/4) keeps it while it is small and never
/// passes 1: films level off in the red like this.
FineSpectrum transmittanceOf(const Film& film) {
    FineSpectrum t;
    for (std::size_t i = 0; i < kWavelengths; ++i) {
        const double u = 1000.0 * (1.0 / wavelength_nm(i) - 1.0 / 560.0);
        const double w = std::exp(film[0] + u * (film[1] + u * film[2]));
        const double w2 = w * w;
        t.value[i] = w / std::sqrt(std::sqrt(1.0 + w2 * w2));
    }
    return t;
}

/// XYZ of `light`, Y = 1, ready to be summed through many films.
std::array<glm::dvec3, kWavelengths> stimuliOf(const FineSpectrum& light) {
    std::array<glm::dvec3, kWavelengths> s;
    double luminous = 0.0;
    for (std::size_t i = 0; i < kWavelengths; ++i) {
        s[i] = light.value[i] *
               glm::dvec3(observerX().value[i], observerY().value[i], observerZ().value[i]);
        luminous += s[i].y;
    }
    for (glm::dvec3& part : s) part /= luminous;
    return s;
}

/// How far a film is from its goal: logarithms of Y, X/Y and Z/Y over those wanted.
glm::dvec3 missOf(const std::array<glm::dvec3, kWavelengths>& light, const Film& film, glm::dvec3 wanted) {
    const FineSpectrum t = transmittanceOf(film);
    glm::dvec3 sum(0.0);
    for (std::size_t i = 0; i < kWavelengths; ++i) sum += t.value[i] * light[i];
    return {std::log(sum.y / wanted.y), std::log(sum.x / sum.y * wanted.y / wanted.x),
            std::log(sum.z / sum.y * wanted.y / wanted.z)};
}

double lengthOf(glm::dvec3 miss) {
    const double length = glm::length(miss);
    return std::isfinite(length) ? length : HUGE_VAL;
}

/// Newton's step by differences.
Film stepFrom(const std::array<glm::dvec3, kWavelengths>& light, const Film& film, glm::dvec3 wanted,
              glm::dvec3 miss) {
    constexpr double h = 1e-6;
    glm::dmat3 slopes;
    for (int k = 0; k < 3; ++k) {
        Film other = film;
        other[k] += h;
        slopes[k] = (missOf(light, other, wanted) - miss) / h;
    }
    return glm::inverse(slopes) * miss;
}

}  // namespace

FineSpectrum transmittanceForShift(double from_K, double shift_mired, double luminousTransmittance) {
    constexpr double kC2_umK = 1.438776877e4;  // ITS-90
    constexpr double kGoodEnough = 1e-9, kSmallestStep = 1e-3;
    const double to_mired = 1e6 / from_K + shift_mired;
    if (!(to_mired >= 40.0 && to_mired <= 1000.0))
        throw std::invalid_argument("the light would leave the range of 1000 to 25000 K");
    const auto light = stimuliOf(lampSpectrum(from_K));
    const glm::dvec3 wanted =
        luminousTransmittance * bandXYZ(lampSpectrum(1e6 / to_mired)).total();
    Film film(std::log(luminousTransmittance), -kC2_umK * 1e-6 * shift_mired, 0.0);
    glm::dvec3 miss = missOf(light, film, wanted);
    for (int i = 0; i < 60 && lengthOf(miss) > kGoodEnough; ++i) {
        const Film step = stepFrom(light, film, wanted, miss);
        double part = 1.0;  // shorter until it helps
        while (part > kSmallestStep &&
               !(lengthOf(missOf(light, film - part * step, wanted)) < lengthOf(miss)))
            part *= 0.5;
        if (part <= kSmallestStep) break;
        film -= part * step;
        miss = missOf(light, film, wanted);
    }
    if (lengthOf(miss) > kGoodEnough)
        throw std::invalid_argument(
            fmt::format("no film shifts by {:g} mired and still passes {:g} of the light", shift_mired,
                        luminousTransmittance));
    return transmittanceOf(film);
}

// The thirds of the spectrum part at 500 and 600 nm; the edges' softness is from memory.
FineSpectrum greenFilm(double density, const FineSpectrum& light, double luminous) {
    constexpr double kBlueEnd_nm = 500.0, kRedStart_nm = 600.0, kSoft_nm = 12.0;
    Gel film;
    for (std::size_t i = 0; i < kWavelengths; ++i) {
        const double green = 1.0 / (1.0 + std::exp((kBlueEnd_nm - wavelength_nm(i)) / kSoft_nm)) /
                             (1.0 + std::exp((wavelength_nm(i) - kRedStart_nm) / kSoft_nm));
        const double there = density > 0.0 ? 1.0 - green : green;
        film.transmittance.value[i] = std::pow(10.0, -std::abs(density) * there);
    }
    const double most = luminousTransmittance(light, film);
    if (!(luminous <= most))
        throw std::invalid_argument(fmt::format(
            "a film of this density passes at most {:.3g} of the light", most));
    for (double& t : film.transmittance.value) t *= luminous / most;
    return film.transmittance;
}

FineSpectrum through(const FineSpectrum& light, const Gel& gel) {
    FineSpectrum out;
    for (std::size_t i = 0; i < kWavelengths; ++i) out.value[i] = light.value[i] * gel.transmittance.value[i];
    return out;
}

double luminousTransmittance(const FineSpectrum& light, const Gel& gel) {
    double in = 0.0, out = 0.0;
    for (std::size_t i = 0; i < kWavelengths; ++i) {
        const double seen = light.value[i] * observerY().value[i];
        in += seen;
        out += seen * gel.transmittance.value[i];
    }
    return out / in;
}

}  // namespace keyfall
