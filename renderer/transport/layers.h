// Which film layer each kind of light feeds, and the surface's BSDF after its texture.
#pragma once

#include <cstdint>
#include <vector>

#include "renderer/film/film.h"
#include "renderer/optics/bsdf.h"
#include "renderer/stage/stage.h"

namespace keyfall {

inline constexpr std::uint32_t kNoLayer = 0xffffffffU;

/// Layers in the order of the film: each light, then ambient and glow where the scene has them.
struct LayerTable {
    std::uint32_t ambient = kNoLayer;
    std::uint32_t glow = kNoLayer;
    std::uint32_t count = 0;
    bool wantsSplit = false;  ///< pictures sort highlights; readings do not

    /// The BSDF of a surface point: material, texture looked up; media are the path's business.
    Bsdf bsdfAt(const SurfacePoint& s) const;
};

LayerTable layerTable(const Scene& scene);
/// The same as descriptions for a Film or a report.
std::vector<LayerInfo> layerInfos(const Scene& scene);
/// What the scene, as set, takes of each layer: flux, ambient lx. `shutter_s` turns continuous
/// light into luminous exposure; 1 keeps it per second. Lights of the other kind than asked for
/// can be dropped.
enum class Which { all, flash, continuous };
std::vector<LayerMix> mixAsSet(const Scene& scene, double shutter_s, Which which = Which::all);

}  // namespace keyfall
