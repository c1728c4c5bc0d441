// How many and how far: what the renderer's tables and floats can hold. Not here: ranges of single
// keys (schema.h), which cannot see where an `around` or a mesh ends.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scene/read_draft.h"

namespace keyfall {

namespace {

void refuseManyLights(Draft& draft) {
    const auto lights = draft.all("light");
    if (lights.size() <= kMostLights) return;
    const Fields& fields = lights[kMostLights]->fields;
    draft.messages().error(
        fields.place(),
        {fmt::format("{} is the {}th light", fields.label(), kMostLights + 1),
         fmt::format("allowed: at most {} on one set, also counting those that are off",
                     kMostLights),
         "leave one out"});
}

void refuseManyBoards(Draft& draft) {
    std::size_t count = 0;
    for (const DraftItem& entry : draft.items) {
        if (entry.item.kind != ItemKind::board || !entry.on || ++count != kMostBoards + 1) continue;
        const Fields& fields = entry.object->fields;
        draft.messages().error(
            fields.place(),
            {fmt::format("{} is the {}th board that is on", fields.label(), count),
             fmt::format("allowed: at most {} on one set", kMostBoards),
             "write on = false, or leave one out"});
    }
}

double farthest_m(glm::vec3 place_m) {
    const glm::dvec3 p(glm::abs(place_m));
    return std::max({p.x, p.y, p.z});
}

/// True when it was too far.
bool refuseFar(Draft& draft, const Fields& fields, const char* verb, double out_m) {
    constexpr double kRounding_m = 1e-4;  // of float sums at 100 m
    if (out_m <= kFarthest_cm * kMetresPerCm + kRounding_m) return false;
    draft.messages().error(
        fields.place(),
        {fmt::format("{} {} {:.6g} cm out", fields.label(), verb, out_m / kMetresPerCm),
         fmt::format("allowed: up to {} cm from the origin along x, y and z", kFarthest_cm),
         "build the set around the origin"});
    return true;
}

/// Table, backdrop and room need no look: they stand about the origin, and their keys have ranges.
/// A camera that the file does not place stands as far as its subject asks for.
void refuseFarThings(Draft& draft) {
    for (const char* kind : {"camera", "light", "probe"})
        for (const Object* object : draft.all(kind))
            if (object->state == Object::State::placed &&
                (object->kind != "camera" || object->fields.given("around")))
                refuseFar(draft, object->fields, "is", farthest_m(object->point_m));
    const Object* told = nullptr;
    for (const DraftItem& entry : draft.items) {
        if (entry.object == nullptr || !entry.on || entry.object->state != Object::State::placed)
            continue;
        const Box3 box = boundsOf(entry.item.mesh);
        if (entry.object == told) continue;  // another part of the same modifier
        if (refuseFar(draft, entry.object->fields, "reaches",
                      std::max(farthest_m(box.low), farthest_m(box.high))))
            told = entry.object;
    }
}

}  // namespace

void refuseTooMuch(Draft& draft) {
    refuseManyLights(draft);
    refuseManyBoards(draft);
    refuseFarThings(draft);
}

}  // namespace keyfall
