// [table], [backdrop] and [room] into Items. Not here: what stands on them (read_solids.cpp).
#include "scene/fine_spectrum.h"
#include "scene/read_draft.h"
#include "scene/solids.h"

namespace keyfall {

namespace {

constexpr float kTableThickness_m = 0.02F;  // a slab: its front edge may be in the picture
constexpr float kUnderSweep_m = 0.0002F;    // the table's top under a sweep: no coplanar faces

/// A short scene of a product and a light stands on a table before a wall; a file without products
/// and blocks has nothing to stand on them, and gets neither unless it asks.
bool isWanted(const Draft& draft, const Fields& fields, const char* section) {
    if (draft.wrote(section)) return fields.text("shape") != "none" && fields.flag("on");
    for (const Object& object : draft.objects)
        if (object.kind == "product" || object.kind == "block") return true;
    return false;
}

glm::vec2 pairMetres(const Fields& fields, std::string_view key) {
    return glm::vec2(fields.pair(key) * kMetresPerCm);
}
float numberMetres(const Fields& fields, std::string_view key) {
    return static_cast<float>(fields.number(key) * kMetresPerCm);
}

void addItem(Draft& draft, const Fields& fields, ItemKind kind, Mesh mesh,
             std::vector<std::size_t> materials) {
    DraftItem entry;
    entry.item.name = nameOf(kind);
    entry.item.kind = kind;
    entry.item.mesh = std::move(mesh);
    entry.item.materials = std::move(materials);
    entry.item.caption = fields.text("caption");
    draft.items.push_back(std::move(entry));
}

std::size_t materialOf(Draft& draft, const Fields& fields) {
    return useMaterial(draft, fields.spot("material"), fields.text("material"));
}

void readTable(Draft& draft, bool underSweep) {
    const Fields& fields = draft.section("table");
    if (!isWanted(draft, fields, "table")) {
        if (!draft.wrote("table")) draft.recordDefault("table.shape", "none");
        return;
    }
    fields.text("shape");
    const glm::vec2 size = pairMetres(fields, "size");
    Mesh mesh = boxMesh({size.x, kTableThickness_m, size.y});
    const float top = underSweep ? -kUnderSweep_m : 0.0F;
    place(mesh, Frame{}, {0.0F, top - kTableThickness_m, 0.0F});
    addItem(draft, fields, ItemKind::table, std::move(mesh), {materialOf(draft, fields)});
    if (!underSweep) return;
    draft.recordDefault("table.lowered", "0.02 cm, under the sweep");
    if (fields.given("material"))
        draft.warn(fields.placeOf("material"), "sweep-covers-table",
                   "table.material is not seen: the sweep covers the table");
}

/// The wall reaches from the floor to `height` above the table top: a wall that ended at the height
/// of the table would show a black gap behind the table's back edge.
Mesh wallMesh(const Fields& fields, float tableHeight_m) {
    const float top = numberMetres(fields, "height");
    const glm::vec3 centre(0.0F, 0.5F * (top - tableHeight_m), -numberMetres(fields, "distance"));
    return sheetMesh({numberMetres(fields, "width"), top + tableHeight_m}, centre, Frame{});
}

void checkSweep(const Fields& fields) {
    const double radius = fields.number("radius");
    if (radius > fields.number("distance") || radius > fields.number("height"))
        fields.error("radius", {"is more than the sweep's distance or height",
                                "allowed: at most both", "make the radius smaller"});
}

/// True when a sweep lies over the table.
bool readBackdrop(Draft& draft) {
    const Fields& fields = draft.section("backdrop");
    if (!isWanted(draft, fields, "backdrop")) {
        if (!draft.wrote("backdrop")) draft.recordDefault("backdrop.shape", "none");
        return false;
    }
    const bool isSweep = fields.text("shape") == "sweep";
    Mesh mesh;
    if (isSweep) {
        checkSweep(fields);
        const float front_m = 0.5F * pairMetres(draft.section("table"), "size").y;
        mesh = sweepMesh(numberMetres(fields, "width"), front_m, numberMetres(fields, "distance"),
                         numberMetres(fields, "height"), numberMetres(fields, "radius"));
    } else {
        mesh = wallMesh(fields, numberMetres(draft.section("room"), "table_height"));
    }
    addItem(draft, fields, ItemKind::backdrop, std::move(mesh), {materialOf(draft, fields)});
    return isSweep;
}

std::size_t greyMaterial(Draft& draft, const Fields& fields, const char* key) {
    Material m;
    m.name = fields.label() + "." + key;
    m.reflectance = Bands(static_cast<float>(fields.number(key)));
    m.source = "the scene file";
    return addMaterial(draft, m);
}

void readRoom(Draft& draft) {
    const Fields& fields = draft.section("room");
    if (!draft.wrote("room") || !fields.flag("on")) return;
    Room room;
    room.ambientIlluminance_lx = fields.number("illuminance");
    room.ambientTemperature_K = fields.number("colour_temperature");
    if (room.ambientTemperature_K > 0.0)
        room.ambientBands = bandXYZ(lampSpectrum(room.ambientTemperature_K));
    draft.scene.room = room;
    const glm::vec2 size = pairMetres(fields, "size");
    addItem(draft, fields, ItemKind::room,
            roomMesh(size.x, size.y, numberMetres(fields, "height"),
                     -numberMetres(fields, "table_height")),
            {greyMaterial(draft, fields, "walls"), greyMaterial(draft, fields, "ceiling"),
             greyMaterial(draft, fields, "floor")});
}

}  // namespace

void readSurroundings(Draft& draft) {
    const bool sweep = readBackdrop(draft);
    readTable(draft, sweep);
    readRoom(draft);
}

}  // namespace keyfall
