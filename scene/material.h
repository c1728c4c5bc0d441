// Materials as plain data, in bands and SI. Not here: how light leaves them (renderer/optics).
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scene/bands.h"

namespace keyfall {

/// An image that colours a surface (map_Kd): 8-bit sRGB, decoded and filtered linear at lookup.
struct Texture {
    int width = 0;
    int height = 0;
    std::vector<std::uint8_t> srgb;  ///< 3 bytes a pixel, first row at v = 1
};

enum class Base { diffuse, plastic, metal, glass, sheet };

/// Complex refractive index n + ik per band.
struct ComplexIndex {
    Bands n{1.0F};
    Bands k{0.0F};
};

/// What a surface or solid is made of. Fields that a base does not use keep their defaults.
struct Material {
    std::string name;
    Base base = Base::diffuse;
    /// diffuse, plastic: reflectance of the (under-)layer. metal without `index`: reflectance at
    /// normal incidence. sheet: diffuse reflectance of each side.
    Bands reflectance{0.18F};
    /// 0..1. Microfacet width alpha = roughness^2 (metal, plastic, glass); diffuse: roughness of
    /// the Oren-Nayar family, 0 = Lambertian.
    float roughness = 0.0F;
    float anisotropy = 0.0F;           ///< 0..1, stretches highlights along the surface's x axis
    float ior = 1.5F;                  ///< plastic's varnish, glass
    std::optional<ComplexIndex> index; ///< metal from measured n, k
    Bands absorption_perM{0.0F};       ///< glass: Beer-Lambert coefficient of the solid, 1/m
    int priority = 2;                  ///< glass: the higher wins where solids overlap
    bool thin = false;                 ///< glass on an open mesh: a pane, both surfaces in one
    Bands transmittance{0.0F};         ///< sheet: diffuse + straight, of the incident light
    Bands straight{0.0F};              ///< sheet: share of the INCIDENT light passing unscattered
    Bands glow_cdm2{0.0F};             ///< luminance per band share of a self-luminous surface
    std::shared_ptr<const Texture> texture;  ///< multiplies `reflectance`
    std::string source;                ///< where the values come from, for `list`
};

}  // namespace keyfall
