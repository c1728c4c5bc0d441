// [[product]] and [[block]]: meshes, materials, standing. Not here: raising (read_raise.cpp).
#include <fmt/format.h>

#include <algorithm>

#include "scene/obj.h"
#include "scene/placement.h"
#include "scene/read_draft.h"
#include "scene/read_raise.h"
#include "scene/solids.h"

namespace keyfall {

namespace {

double metresOfUnit(const std::string& unit) {
    if (unit == "mm") return 0.001;
    if (unit == "cm") return 0.01;
    if (unit == "in") return 0.0254;  // exact, ISO 80000-3 Annex
    return 1.0;
}

/// Metres per unit of the mesh, from `height` or `unit`. Empty after a mistake.
std::optional<double> scaleOf(const Fields& fields, const Mesh& mesh) {
    if (fields.bad("height") || fields.bad("unit") || !fields.atMostOne({"height", "unit"}))
        return {};
    if (fields.given("unit")) return metresOfUnit(fields.text("unit"));
    if (!fields.given("height")) {
        fields.error("mesh", {"nothing says how large the product is",
                              "needed: height = 14 (cm) or unit = \"mm\" | \"cm\" | \"m\" | \"in\"",
                              "an OBJ file has no unit"});
        return {};
    }
    const Box3 box = boundsOf(mesh);
    const double tall = static_cast<double>(box.high.y) - static_cast<double>(box.low.y);
    if (tall > 0.0) return fields.number("height") * kMetresPerCm / tall;
    fields.error("height", {"the mesh is flat along its own up", {}, "give a unit, or up = \"z\""});
    return {};
}

void reportNoSuchPart(Draft& draft, const ObjFile& obj, const Spot& spot, const Member& entry) {
    std::vector<std::string> known = obj.slotName;
    known.insert(known.end(), obj.slotGroup.begin(), obj.slotGroup.end());
    std::sort(known.begin(), known.end());
    known.erase(std::unique(known.begin(), known.end()), known.end());
    std::erase(known, std::string());
    draft.messages().error(
        entry.place, {fmt::format("{}: the mesh has no material or group of this name", spot.label),
                      known.empty() ? "it names none" : "known there: " + joined(known),
                      didYouMean(entry.name, known)});
}

/// `materials = { lid = "brass" }`: for the slots whose material or group has that name.
void nameSlots(Draft& draft, const Fields& fields, const ObjFile& obj,
               std::vector<std::optional<std::size_t>>& chosen) {
    const Value* table = fields.value("materials");
    if (table == nullptr) return;
    for (const Member& entry : table->members) {
        const Spot spot{entry.value.place, fields.label() + ".materials." + entry.name};
        std::optional<std::size_t> index;
        for (std::size_t slot = 0; slot < obj.slotName.size(); ++slot) {
            if (obj.slotName[slot] != entry.name && obj.slotGroup[slot] != entry.name) continue;
            if (!index) index = useMaterial(draft, spot, entry.value.text, !obj.mesh.closed);
            chosen[slot] = index;
        }
        if (!index) reportNoSuchPart(draft, obj, spot, entry);
    }
}

std::vector<std::size_t> productMaterials(Draft& draft, const Fields& fields, const ObjFile& obj) {
    const bool open = !obj.mesh.closed;
    std::vector<std::optional<std::size_t>> chosen(obj.slotName.size());
    nameSlots(draft, fields, obj, chosen);
    std::optional<std::size_t> whole;
    if (fields.sound("material"))
        whole = useMaterial(draft, fields.spot("material"), fields.text("material"), open);
    std::vector<std::size_t> indices;
    for (std::size_t slot = 0; slot < chosen.size(); ++slot) {
        if (chosen[slot] || whole) {
            indices.push_back(chosen[slot] ? *chosen[slot] : *whole);
        } else {
            Material own = obj.slotMaterial[slot];
            own.thin = own.base == Base::glass && open;
            if (!obj.slotHasMaterial[slot] && !fields.given("material"))
                fields.recordDefault("material", own.name.empty() ? "matt grey" : own.name);
            indices.push_back(addMaterial(draft, std::move(own)));
        }
    }
    return indices;
}

/// The mesh in metres, y up, not yet standing. False after a mistake.
bool loadProduct(Draft& draft, const Fields& fields, DraftItem& entry) {
    if (!fields.sound("mesh")) return false;
    const std::string name = fields.text("mesh");
    ObjFile obj;
    try {
        obj =
            readObj(draft.beside(name), static_cast<float>(glm::radians(fields.number("smooth"))));
    } catch (const ObjError& error) {
        draft.messages().fileError(fields.placeOf("mesh"),
                                   {fields.label() + ".mesh: " + error.text, {}, {}});
        return false;
    }
    for (const std::string& text : obj.warnings)
        draft.warn(fields.placeOf("mesh"), "mesh", fields.label() + ": " + text);
    if (fields.text("up") == "z") zUpToYUp(obj.mesh);
    entry.item.materials = productMaterials(draft, fields, obj);
    const auto scale = scaleOf(fields, obj.mesh);
    if (!scale) return false;
    // In double: the scale of a mesh 1e-40 units high is no float.
    for (glm::vec3& p : obj.mesh.position_m) p = glm::vec3(glm::dvec3(p) * *scale);
    entry.item.mesh = std::move(obj.mesh);
    return true;
}

struct BlockForm {
    const char* shape;
    std::size_t sizes;
    const char* words;
};
constexpr BlockForm kBlockForms[] = {{"box", 3, "[width, height, depth]"},
                                     {"cylinder", 2, "[diameter, height]"},
                                     {"sphere", 1, "[diameter]"},
                                     {"sheet", 2, "[width, height]"}};

Mesh blockMesh(const std::string& shape, const std::vector<double>& size_cm) {
    const auto size = [&](std::size_t i) { return static_cast<float>(size_cm[i] * kMetresPerCm); };
    if (shape == "cylinder") return cylinderMesh(size(0), size(1));
    if (shape == "sphere") return sphereMesh(size(0));
    if (shape == "sheet") return sheetMesh({size(0), size(1)}, glm::vec3(0.0F), Frame{});
    return boxMesh({size(0), size(1), size(2)});
}

bool loadBlock(Draft& draft, const Fields& fields, DraftItem& entry) {
    if (!fields.sound("size") || fields.bad("shape")) return false;
    const std::string shape = fields.text("shape");
    const std::vector<double> size = fields.numbers("size");
    for (const BlockForm& form : kBlockForms) {
        if (shape != form.shape || size.size() == form.sizes) continue;
        fields.error("size", {fmt::format("has {} numbers", size.size()),
                              fmt::format("a {} has size = {}", shape, form.words),
                              {}});
        return false;
    }
    entry.item.mesh = blockMesh(shape, size);
    const bool open = !entry.item.mesh.closed;
    entry.item.materials = {
        useMaterial(draft, fields.spot("material"), fields.text("material"), open)};
    return true;
}

void load(Draft& draft, Object& object) {
    DraftItem entry;
    const bool isProduct = object.kind == "product";
    entry.object = &object;
    entry.standing = true;
    entry.on = object.fields.flag("on");
    entry.item.kind = isProduct ? ItemKind::product : ItemKind::block;
    entry.item.name = object.name;
    entry.item.caption = object.fields.text("caption");
    const bool good = isProduct ? loadProduct(draft, object.fields, entry)
                                : loadBlock(draft, object.fields, entry);
    if (good)
        draft.items.push_back(std::move(entry));
    else
        object.state = Object::State::failed;
}

DraftItem* itemOf(Draft& draft, const Object* object) {
    for (DraftItem& entry : draft.items)
        if (entry.object == object) return &entry;
    return nullptr;
}

/// Where the object's foot comes, standing free or on another. Empty after a mistake.
std::optional<glm::vec3> footOf(const Fields& fields, const DraftItem* supporter) {
    const std::vector<double> at = fields.numbers("at");
    if (fields.bad("at")) return {};
    if (at.size() == (supporter != nullptr ? 3U : 2U)) {
        fields.error("at",
                     {fmt::format("has {} numbers", at.size()),
                      supporter != nullptr ? "with stands_on: at = [x, z]" : "allowed: [x, y, z]",
                      supporter != nullptr ? "the height is the top of what it stands on"
                                           : "or give stands_on"});
        return {};
    }
    const auto m = [&at](std::size_t i) { return static_cast<float>(at[i] * kMetresPerCm); };
    if (supporter == nullptr) {
        if (at.empty()) fields.recordDefault("at", "[0, 0, 0]");
        return at.empty() ? glm::vec3(0.0F) : glm::vec3(m(0), m(1), m(2));
    }
    const float top = boundsOf(supporter->item.mesh).high.y;
    if (!at.empty()) return glm::vec3(m(0), top, m(1));
    const glm::vec3 below = supporter->item.at_m;
    fields.recordDefault("at", fmt::format("where \"{}\" stands", supporter->item.name));
    return glm::vec3(below.x, top, below.z);
}

bool standObject(Draft& draft, Object& object) {
    if (object.state == Object::State::placed) return true;
    if (object.state == Object::State::failed) return false;
    const Fields& fields = object.fields;
    if (object.state == Object::State::busy) {
        fields.error("stands_on", {"the objects stand on each other in a circle",
                                   {},
                                   "let one of them stand on the table"});
        return false;
    }
    object.state = Object::State::busy;
    const DraftItem* supporter = nullptr;
    bool good = !fields.bad("stands_on");
    if (good && fields.given("stands_on")) {
        Object* below = namedObject(draft, fields, "stands_on", "product|block");
        good = below != nullptr && standObject(draft, *below);
        if (good) supporter = itemOf(draft, below);
    }
    const auto foot = good ? footOf(fields, supporter) : std::nullopt;
    object.state = foot ? Object::State::placed : Object::State::failed;
    if (!foot) return false;
    const Turns turns{glm::radians(fields.number("turn")), glm::radians(fields.number("tilt")),
                      glm::radians(fields.number("lean"))};
    const bool origin = object.kind == "product" && fields.text("centre") == "origin";
    DraftItem& entry = *itemOf(draft, &object);
    stand(entry.item.mesh, turns, origin ? Centre::origin : Centre::footprint, *foot);
    entry.item.frame = turnedFrame(turns);
    entry.item.at_m = *foot;
    return true;
}

}  // namespace

void readSolids(Draft& draft) {
    std::vector<Object*> solids = draft.all("product");
    for (Object* block : draft.all("block")) solids.push_back(block);
    for (Object* object : solids) load(draft, *object);
    for (Object* object : solids) standObject(draft, *object);
    raiseCoplanar(draft);
    for (DraftItem& entry : draft.items)
        if (entry.standing) entry.object->point_m = boundsOf(entry.item.mesh).middle();
}

}  // namespace keyfall
