// Lifts solids off faces they would share.
#include "scene/read_raise.h"

#include <algorithm>
#include <cmath>

#include "scene/solids.h"

namespace keyfall {

namespace {

constexpr float kCoplanar_m = 0.00005F;
constexpr float kRaise_m = 0.0001F;

/// A top face, as it was before anything was raised, and how far its owner was raised.
struct Top {
    std::string name;
    Box3 box;
    float y_m = 0.0F;
    float raised_m = 0.0F;
};

/// With its box, kept: to ask a mesh of 2 million triangles for it takes milliseconds.
struct Solid {
    DraftItem* entry;
    Box3 box;
};

bool overlap(const Box3& a, const Box3& b) {
    return a.low.x < b.high.x && b.low.x < a.high.x && a.low.z < b.high.z && b.low.z < a.high.z;
}

bool isFlat(const Box3& box) {
    const glm::vec3 size = box.size();
    return size.x <= kCoplanar_m || size.z <= kCoplanar_m;
}

}  // namespace

void raiseCoplanar(Draft& draft) {
    std::vector<Top> tops;
    std::vector<Solid> solids;
    for (DraftItem& entry : draft.items) {
        const Box3 box = boundsOf(entry.item.mesh);
        if (entry.item.kind == ItemKind::table) tops.push_back({"table", box, box.high.y, 0.0F});
        // A sweep's level part lies at y = 0; its box reaches from there up.
        if (entry.item.kind == ItemKind::backdrop && box.low.y == 0.0F)
            tops.push_back({"sweep", box, 0.0F, 0.0F});
        const bool placed = entry.standing && entry.object->state == Object::State::placed;
        if (placed && entry.on && !isFlat(box)) solids.push_back({&entry, box});
    }
    std::stable_sort(solids.begin(), solids.end(),
                     [](const Solid& a, const Solid& b) { return a.box.low.y < b.box.low.y; });
    for (const auto& [entry, box] : solids) {
        const Top* under = nullptr;
        for (const Top& top : tops) {
            if (std::abs(top.y_m - box.low.y) > kCoplanar_m || !overlap(top.box, box)) continue;
            if (under == nullptr || top.raised_m > under->raised_m) under = &top;
        }
        const float raise = under != nullptr ? under->raised_m + kRaise_m : 0.0F;
        const std::string below = under != nullptr ? under->name : std::string();
        tops.push_back({entry->item.name, box, box.high.y, raise});
        if (raise == 0.0F) continue;
        place(entry->item.mesh, Frame{}, {0.0F, raise, 0.0F});
        entry->object->fields.recordDefault("raised", "0.01 cm off the top of " + below);
    }
}

}  // namespace keyfall
