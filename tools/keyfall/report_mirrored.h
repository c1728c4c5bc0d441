// What the camera sees, directly and in glossy faces, as parts of a report. Not here: the looks
// themselves (renderer/meter/visible.h, mirrored.h).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "renderer/meter/mirrored.h"
#include "scene/scene.h"

namespace keyfall {

struct Report;

/// Both looks. In a command without picture on a coarser grid.
struct Seen {
    VisiblePicture visible;
    MirrorPicture mirrored;
};
Seen lookAround(const Stage& stage, int width_px, int height_px);
/// At most 192 pixels across: for figures without a picture.
Seen lookAroundCoarsely(const Stage& stage);

/// `mirrors`: a row for each glossy face; `in_frame`: gear that is seen directly.
nlohmann::ordered_json mirrorsJson(const Report& report);
nlohmann::ordered_json inFrameJson(const Report& report);
std::string mirrorLines(const Report& report);
/// `object-in-frame`, `object-mirrored`.
void warnOfGear(const Report& report, std::vector<Warning>& warnings);

}  // namespace keyfall
