// [[board]], [[scrim]] and [[flag]]: flat things that stand in the air. Not here: what passes a
// fabric (renderer/optics).
#include "scene/placement.h"
#include "scene/read_draft.h"
#include "scene/solids.h"

namespace keyfall {

namespace {

/// All flags share one material, kept under a name that no file can give.
std::size_t useFlagCloth(Draft& draft) {
    const auto [at, isNew] = draft.materialIndex.emplace("flag", 0);
    if (isNew) at->second = addMaterial(draft, draft.flagCloth);
    return at->second;
}

std::size_t materialOf(Draft& draft, const Object& object) {
    const Fields& fields = object.fields;
    if (object.kind == "scrim")
        return useFabric(draft, fields.spot("fabric"), fields.text("fabric"));
    if (object.kind == "flag") return useFlagCloth(draft);
    return useMaterial(draft, fields.spot("surface"), fields.text("surface"));
}

ItemKind kindOf(const Object& object) {
    if (object.kind == "scrim") return ItemKind::scrim;
    return object.kind == "flag" ? ItemKind::flag : ItemKind::board;
}

/// `at` is the middle of the lit face. One quad: a card's thickness does not show at this scale.
void readSheet(Draft& draft, Object& object) {
    const Fields& fields = object.fields;
    const std::size_t material = materialOf(draft, object);
    const auto at = pointOf(draft, object, fields.place());
    const auto aim = at ? aimOf(draft, object, *at, std::nullopt) : std::nullopt;
    if (!aim || fields.bad("size")) return;
    DraftItem entry;
    entry.object = &object;
    entry.on = fields.flag("on");
    Item& item = entry.item;
    item.name = object.name;
    item.kind = kindOf(object);
    item.caption = fields.text("caption");
    item.at_m = *at;
    item.frame = frameFacing(aim->direction, glm::radians(fields.number("roll")));
    item.size_m = glm::vec2(fields.pair("size") * kMetresPerCm);
    item.mesh = sheetMesh(item.size_m, *at, item.frame);
    item.materials = {material};
    draft.items.push_back(std::move(entry));
}

}  // namespace

void readSheets(Draft& draft) {
    for (const char* kind : {"board", "scrim", "flag"})
        for (Object* object : draft.all(kind)) readSheet(draft, *object);
}

}  // namespace keyfall
