// How much of the frame the product fills, and how it stands out from the backdrop behind it. Not here: how
// even the backdrop is (evenness.h), what else is seen (visible.h).
#pragma once

#include <optional>
#include <vector>

#include "renderer/meter/film_patch.h"
#include "renderer/meter/visible.h"

namespace keyfall {

/// Of all products together, in shares of the picture.
struct FrameFill {
    double area = 0.0;                 ///< of the picture that they cover
    double width = 0.0, height = 0.0;  ///< of the upright box around what is seen of them
};
/// Empty: no product in the frame.
std::optional<FrameFill> productFill(const Scene& scene, const VisiblePicture& seen);

/// Stops from the backdrop beside the product's outline to the product beside it, + where the product is
/// brighter, on its left, right and upper outline as the picture shows them. Both are means over a strip of a
/// hundredth of the picture's width on either side, less the pixel at the outline itself, along the rows (top:
/// columns) in which the backdrop is what stands next to the product. What separates a product from its
/// background is the difference where they meet: common practice, no source.
struct Separation {
    std::optional<Measured> left_stops, right_stops, top_stops;  ///< empty: no backdrop beside it there
};
Separation productSeparation(const Scene& scene, const VisiblePicture& seen, const Film& film,
                             const std::vector<LayerMix>& mix);

}  // namespace keyfall
