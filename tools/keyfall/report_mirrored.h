// What the camera sees, directly and in glossy faces, as parts of a report. Not here: the looks
// themselves (renderer/meter/visible.h, mirrored.h).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "renderer/meter/mirrored.h"
#include "scene/scene.h"

namespace keyfall {

struct Report;

/// Both looks, and what follows of the products' depth.
struct Seen {
    VisiblePicture visible;
    MirrorPicture mirrored;
    std::optional<VisibleDepth> productDepth;  ///< empty: no product in the frame
};
/// Looks along the sensor's longer side. Of their own, not the picture's pixels: what is sharp and what
/// is mirrored are the set's, and every command says the same of them.
inline constexpr int kLooks = 384;
Seen lookAround(const Stage& stage);

/// `mirrors`: a row for each glossy face; `in_frame`: gear that is seen directly.
nlohmann::ordered_json mirrorsJson(const Report& report);
nlohmann::ordered_json inFrameJson(const Report& report);
std::string mirrorLines(const Report& report);
/// `object-in-frame`, `object-mirrored`.
void warnOfGear(const Report& report, std::vector<Warning>& warnings);

}  // namespace keyfall
