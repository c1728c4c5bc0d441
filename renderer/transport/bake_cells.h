// From a modifier's exits to tables, and from the flux that crossed them to luminance.
// Not here: tracing (light_trace.h).
#pragma once

#include <vector>

#include "renderer/transport/bake.h"
#include "renderer/transport/light_trace.h"

namespace keyfall {

/// The tables of all exits, without luminance yet. `size` has no 0 left in along, across, directions.
std::vector<TableFace> tableFacesOf(const ModifierBody& body, const BakeSettings& size);

/// Sums one stream's flux cell by cell.
class CellSums final : public ExitSink {
  public:
    explicit CellSums(const std::vector<TableFace>& faces);
    void add(const ExitCrossing& crossing, const Bands& flux) override;
    const std::vector<Bands>& face(std::size_t i) const { return sums_[i]; }

  private:
    const std::vector<TableFace>& faces_;
    std::vector<std::vector<Bands>> sums_;
};

/// Adds to `face.luminance`, empty at first, what the flux of each cell comes to, a share of the lamp's.
/// `measure_srM2`: cellMeasures_srM2(face). A sliver of a cell,
/// of which an outline leaves next to nothing, hands what it caught by rounding to its neighbour inward.
void addLuminance(TableFace& face, const std::vector<double>& measure_srM2, std::vector<BandSums> flux);

}  // namespace keyfall
