// Small member functions of the Scene's plain data.
#include "scene/scene.h"

#include <cmath>

namespace keyfall {

const char* nameOf(ItemKind kind) {
    switch (kind) {
        case ItemKind::table: return "table";
        case ItemKind::backdrop: return "backdrop";
        case ItemKind::room: return "room";
        case ItemKind::product: return "product";
        case ItemKind::block: return "block";
        case ItemKind::board: return "board";
        case ItemKind::scrim: return "scrim";
        case ItemKind::flag: return "flag";
        case ItemKind::modifier: return "modifier";
    }
    return "?";
}

double Light::strength() const { return on ? std::exp2(power_stops) : 0.0; }

}  // namespace keyfall
