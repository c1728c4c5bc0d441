// What glossy faces of the products mirror, by the mirror direction of the camera's look: a lamp, a card,
// the backdrop, the dark room. Not here: how bright the reflection is (the picture itself).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "renderer/meter/visible.h"

namespace keyfall {

inline constexpr std::uint32_t kNotGlossy = 0xfffffffeU;

/// True for a surface with a specular lobe or a narrow one (alpha < kRoughAlpha): metal, plastic, glass.
bool isGlossy(const Material& material);

/// Flat arrays beside a VisiblePicture. The look is turned once, at the first surface of a glossy product,
/// about its smooth normal; what it meets then is mirrored there. A mirror that stands there counts as
/// itself, and so does a pane.
struct MirrorPicture {
    std::vector<std::uint32_t> object;    ///< kNoObject: the dark; kNotGlossy: no glossy product here
    std::vector<std::uint8_t> luminous;   ///< 1: it is the side of a light from which its light comes
};
MirrorPicture lookMirrored(const Stage& stage, const VisiblePicture& seen);

/// What one glossy face mirrors, in % of its visible surface: of the area that it takes in the picture.
struct MirrorShare {
    std::uint32_t object = kNoObject;
    double share_percent = 0.0;
    double luminous_percent = 0.0;  ///< the part of it that is a light's luminous side
};
struct MirrorFace {
    std::uint32_t product = kNoObject;
    std::uint32_t material = 0;          ///< into Scene::materials
    double picture_percent = 0.0;        ///< of the picture that this face takes
    std::vector<MirrorShare> mirrored;   ///< largest first; the shares add up to 100
};
/// One for each product and glossy material that is seen, in the order of the scene.
std::vector<MirrorFace> mirrorTable(const VisiblePicture& seen, const MirrorPicture& mirrored);

/// Whether the pixel shows the area: "product" or "product/material".
bool isInArea(const Scene& scene, const VisiblePicture& seen, std::size_t pixel, std::string_view area);

/// `mirrors(OBJECT, AREA)`: % of the area's visible surface whose mirror direction meets the object. Of a
/// light the luminous side counts: the lamp, the mouth, the front. AREA is "product" or
/// "product/material". A matt part of the area counts as surface that mirrors nothing. Whether the light
/// is on does not matter: it is geometry.
/// Empty: no such object or area, nothing of the area is seen, or none of it is glossy.
std::optional<double> mirrors_percent(const Scene& scene, const VisiblePicture& seen, const MirrorPicture& mirrored,
                                      std::string_view object, std::string_view area);

/// Gear that a product mirrors, in % of that product's visible surface; largest first.
struct MirroredGear {
    std::uint32_t product = kNoObject;
    MirrorShare gear;
    double roughness = 0.0;  ///< of the smoothest face that mirrors it
};
std::vector<MirroredGear> gearMirrored(const Scene& scene, const VisiblePicture& seen, const MirrorPicture& mirrored);

}  // namespace keyfall
