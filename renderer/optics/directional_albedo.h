// How much of a ray's light a surface sends on: reflected and, for sheets, passed. What is left of 1 is
// absorbed. Not here: where it goes (bsdf.h), the energy tables inside the lobes (energy_table.h).
#pragma once

#include <glm/glm.hpp>
#include <vector>

#include "scene/bands.h"
#include "scene/material.h"

namespace keyfall {

/// Directional-hemispherical reflectance plus transmittance of a material without a texture, of every
/// lobe, deltas too, as sample() and evaluate() have it: what a table says and what a walk of draws does
/// then agree by construction, up to the quadrature's error of about 1e-4.
///
/// Tabulated once over the cosine (over the azimuth too where brushed) by a net of 2048 draws a node and
/// lobe; matt surfaces of roughness 0 and sheets, alike at every angle, have one node and no error.
class DirectionalAlbedo {
  public:
    /// Throws std::invalid_argument for solid glass: its share needs to know what is on either side.
    explicit DirectionalAlbedo(const Material& material);

    /// `wo` local, unit, z along the normal; either side. Linear between nodes.
    Bands operator()(glm::vec3 wo) const;

  private:
    std::size_t at(int azimuth, int cosine) const;

    int cosines_ = 1;
    int azimuths_ = 1;
    std::vector<Bands> node_;  ///< azimuths_ rows
};

}  // namespace keyfall
