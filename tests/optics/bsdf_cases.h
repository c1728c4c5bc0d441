// Materials that the BSDF tests share. Not here: the laws they are held to.
#pragma once

#include <cmath>
#include <glm/glm.hpp>
#include <string>
#include <vector>

#include "renderer/optics/bsdf.h"
#include "renderer/optics/warp_trig.h"  // kPi

namespace keyfall::test {

/// A unit vector at `mu` from the normal (negative: below) and azimuth `phi`.
inline glm::vec3 direction(double mu, double phi) {
    const double sine = std::sqrt(std::max(0.0, 1.0 - mu * mu));
    return glm::vec3(glm::dvec3(sine * std::cos(phi), sine * std::sin(phi), mu));
}

/// One material at a point; a Bsdf points at its material, so the two travel together.
struct Case {
    std::string name;
    Material material;
    float etaRatio = 1.0F;

    Bsdf bsdf(Transport transport = Transport::radiance) const {
        Bsdf b;
        b.material = &material;
        b.reflectance = material.reflectance;
        b.etaRatio = etaRatio;
        b.transport = transport;
        return b;
    }
};

inline Case diffuse(float reflectance, float roughness) {
    Case c{"diffuse", {}, 1.0F};
    c.material.reflectance = Bands{reflectance};
    c.material.roughness = roughness;
    return c;
}

inline Case plastic(float reflectance, float roughness, float ior = 1.5F) {
    Case c{"plastic", {}, 1.0F};
    c.material.base = Base::plastic;
    c.material.reflectance = Bands{reflectance};
    c.material.roughness = roughness;
    c.material.ior = ior;
    return c;
}

inline Case metal(float reflectance, float roughness, float anisotropy = 0.0F) {
    Case c{"metal", {}, 1.0F};
    c.material.base = Base::metal;
    c.material.reflectance = Bands{reflectance};
    c.material.roughness = roughness;
    c.material.anisotropy = anisotropy;
    return c;
}

/// Gold at 549 nm, Johnson & Christy 1972, in every band.
inline Case gold(float roughness, float anisotropy = 0.0F) {
    Case c = metal(0.0F, roughness, anisotropy);
    c.material.index = ComplexIndex{Bands{0.43F}, Bands{2.455F}};
    return c;
}

inline Case glass(float etaRatio, float roughness) {
    Case c{"glass", {}, etaRatio};
    c.material.base = Base::glass;
    c.material.roughness = roughness;
    c.material.ior = etaRatio;
    return c;
}

inline Case sheet(float reflectance, float transmittance, float straight) {
    Case c{"sheet", {}, 1.0F};
    c.material.base = Base::sheet;
    c.material.reflectance = Bands{reflectance};
    c.material.transmittance = Bands{transmittance};
    c.material.straight = Bands{straight};
    return c;
}

/// n^2 on the side of `w`, the scale of radiance there; 1 for everything but glass.
inline double indexSquared(const Case& c, glm::vec3 w) {
    if (c.material.base != Base::glass || c.material.thin) return 1.0;
    const double n = static_cast<double>(c.etaRatio);
    return w.z < 0.0F ? n * n : 1.0;
}

/// Deterministic, evenly spread numbers in [0, 1)^3: the additive sequence of the generalised
/// golden ratio, root of x^4 = x + 1 (Roberts 2018).
struct Spread {
    float choice;
    glm::vec2 u;
};
inline Spread spread(int i) {
    const double g = 1.2207440846057594;
    const auto part = [i](double step) {
        const double x = 0.5 + step * (i + 1);
        return static_cast<float>(std::min(x - std::floor(x), 1.0 - 0x1p-24));
    };
    return {part(1.0 / g), {part(1.0 / (g * g)), part(1.0 / (g * g * g))}};
}

/// Band 0 of the radiance that `c` shows in uniform surroundings (L / n^2 = 1 everywhere), by its
/// own sampling: 1 for a surface that loses nothing.
inline double furnace(const Case& c, glm::vec3 wo, int samples = 8192) {
    const Bsdf bsdf = c.bsdf();
    double sum = 0.0;
    for (int i = 0; i < samples; ++i) {
        const Spread s = spread(i);
        const BsdfSample drawn = sample(bsdf, wo, s.choice, s.u);
        if (drawn.lobe == Lobe::none) continue;
        sum += static_cast<double>(drawn.weight[0]) * indexSquared(c, drawn.wi);
    }
    return sum / samples / indexSquared(c, wo);
}

/// The same without the delta lobes, by equal steps over the sphere: no sampling of ours in it.
inline double furnaceByGrid(const Case& c, glm::vec3 wo, int rings = 256, int sectors = 256) {
    const Bsdf bsdf = c.bsdf();
    double sum = 0.0;
    for (int r = 0; r < rings; ++r) {
        const double mu = -1.0 + 2.0 * (r + 0.5) / rings;
        for (int s = 0; s < sectors; ++s) {
            const glm::vec3 wi = direction(mu, 2.0 * kPi * (s + 0.5) / sectors);
            sum += static_cast<double>(evaluate(bsdf, wo, wi)[0]) * indexSquared(c, wi);
        }
    }
    return sum * 4.0 * kPi / (rings * sectors) / indexSquared(c, wo);
}

}  // namespace keyfall::test
