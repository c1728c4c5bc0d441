// What leaves a modifier after being scattered in it: luminance by position and direction, as plain
// data. Not here: how it is traced (renderer/transport/bake.h) and sampled (renderer/optics).
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "scene/bands.h"
#include "scene/modifier_body.h"

namespace keyfall {

/// Cells of one exit face. Positions: a disc in rings of equal area (`along`) and sectors
/// (`across`), a panel in columns and rows. Directions: n x n squares over the Nusselt disc, the
/// unit disc of (x, y) components, on which equal areas are equal projected solid angles; a disc's
/// axes are radial and tangential at the point, a panel's are its own.
struct TableFace {
    ExitFace exit;  ///< in the modifier's frame
    int along = 1;
    int across = 1;
    int directions = 1;
    /// Cells stand for their mirror images too. Disc of one sector: tangential +- alike. Else the
    /// face's x and y halves: cells cover the quarter x, y > 0.
    bool folded = false;
    /// Per unit of the lamp's flux in the band, 1/(sr m2); kBands values a cell, cells in the order
    /// along, across, radial or x direction, tangential or y direction.
    std::vector<float> luminance;

    std::size_t cellCount() const;
};

/// Energy is a share of the lamp's flux in each band; all that left the lamp is in one of the three.
struct NearFieldTable {
    std::vector<TableFace> faces;
    Bands scattered;  ///< left through the exits after a scattering: what the faces hold
    Bands straight;   ///< left without one, also straight through sheets: in no face
    Bands absorbed;   ///< summed where it happened, from reflectances, never as a difference
    std::uint64_t photons = 0;
};

/// Index of the cell for a point on the face and a unit direction that leaves (z > 0), both in the
/// face's own axes. Not checked: a point outside of the shape goes to the nearest cell.
std::size_t cellOf(const TableFace& face, glm::vec2 local_m, glm::vec3 direction);

/// A point on a face and a unit direction that leaves, both in the face's own axes; direction 0 where the
/// place asked for lies below the horizon.
struct ExitRay {
    glm::vec2 local_m{0.0F};
    glm::vec3 direction{0.0F};
};
/// The place in a cell at shares (0 to 1) of its extent in position and in direction: even shares are even
/// in area and in projected solid angle. Of mirror images the one that the cell is named for; of a disc of
/// one sector any azimuth.
ExitRay rayOfCell(const TableFace& face, std::size_t cell, glm::vec2 position, glm::vec2 direction);

/// Luminance per unit flux, 1/(sr m2); 0 outside of the outline and for z <= 0.
Bands luminance_perSrM2(const TableFace& face, glm::vec2 local_m, glm::vec3 direction);

/// Area (m2) times projected solid angle (sr) of each cell, all mirror images together: the flux of
/// a cell over this is its luminance. One figure a cell.
std::vector<double> cellMeasures_srM2(const TableFace& face);

/// Integral of the luminance over positions and projected directions: the flux, per band.
Bands fluxOf(const TableFace& face);

}  // namespace keyfall
