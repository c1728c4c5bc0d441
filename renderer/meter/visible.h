// What the camera sees: one look through the middle of every picture pixel, and what follows from it
// for depth of field and for gear in the frame. Not here: light (transport), reflections (mirrored.h).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "renderer/stage/stage.h"
#include "scene/photo.h"

namespace keyfall {

inline constexpr std::uint32_t kNoObject = 0xffffffffU;

/// What stands on the set under one name: a light is its lamp and all of its modifier. Numbered: the
/// scene's lights first, then its items (modifiers' items count as their light).
std::uint32_t objectOfItem(const Scene& scene, std::size_t item);
/// nullptr: a light, or the dark.
const Item* itemOf(const Scene& scene, std::uint32_t object);
std::string nameOfObject(const Scene& scene, std::uint32_t object);  ///< kNoObject: "dark"
/// Cards, stands, lamps and what is mounted on them, scrims, flags: no part of the picture's subject.
bool isGear(const Scene& scene, std::uint32_t object);
/// The object a hit belongs to.
std::uint32_t objectOfHit(const Scene& scene, const SurfacePoint& seen);

/// Flat arrays, one value a pixel, rows from the top. Pinhole rays through the lens centre and the
/// middle of each pixel: no lens blur. A pane or a scrim that is looked through counts as what is seen.
struct VisiblePicture {
    int width_px = 0;
    int height_px = 0;
    std::vector<float> depth_m;           ///< along the camera's axis; 0 where nothing is met
    std::vector<std::uint32_t> object;    ///< kNoObject: nothing
    std::vector<std::uint32_t> material;  ///< into Scene::materials; kNoObject: nothing
};
VisiblePicture lookThroughLens(const Stage& stage, int width_px, int height_px);

/// Whether a pixel shows a product.
bool showsProduct(const Scene& scene, const VisiblePicture& seen, std::size_t pixel);

/// Of what is seen of the products; depths along the axis from the lens.
struct VisibleDepth {
    double nearest_m = 0.0;
    double farthest_m = 0.0;
    double pictureShare = 0.0;  ///< of the picture that products cover
};
/// Empty: no product in the frame.
std::optional<VisibleDepth> visibleProductDepth(const Scene& scene, const VisiblePicture& seen);
/// The same with its ends widened to the products' corners (vertices) that the lens sees in the frame:
/// between pixels a surface that turns away ends millimetres further than the nearest look, and no grid is
/// fine enough there. Exact but for ends at another body's edge or the frame's, which keep to the grid.
std::optional<VisibleDepth> visibleProductDepth(const Stage& stage, const VisiblePicture& seen);
/// Share (0..1) of the visible product, by its area in the picture, that lies between the limits: there
/// |blur| <= circle of confusion. Empty: no product in the frame.
std::optional<double> sharpShare(const Scene& scene, const VisiblePicture& seen, const DepthOfField& depth);

/// A piece of gear in the picture.
struct Sighting {
    std::uint32_t object = kNoObject;
    double share = 0.0;        ///< of the picture, 0..1
    glm::dvec2 middle{0.0};    ///< of what is seen of it, in shares of width and height from the top left
};
/// Largest first.
std::vector<Sighting> gearInFrame(const Scene& scene, const VisiblePicture& seen);

}  // namespace keyfall
