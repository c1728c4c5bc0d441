// The scene while it is being read: the file's tree, its named objects, the library with the file's
// own definitions, and what is finished so far. Not here: what the sections mean (read_*.cpp).
#pragma once

#include <deque>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "scene/library.h"
#include "scene/read_fields.h"
#include "scene/read_scene.h"

namespace keyfall {

inline constexpr double kMetresPerCm = 0.01;
inline constexpr double kMetresPerMm = 0.001;

/// One entry of [[product]], [[light]], ...; or the camera.
struct Object {
    enum class State { unplaced, busy, placed, failed };
    std::string kind;
    std::string name;
    Fields fields;
    State state = State::unplaced;
    glm::vec3 point_m{0.0F};                      ///< what its name means as a point, when placed
    std::optional<glm::vec3> aroundPoint_m = {};  ///< when placed by `around`
};

/// An Item, and what was written of it.
struct DraftItem {
    Item item;
    bool on = true;
    Object* object = nullptr;  ///< empty: table, backdrop, room
    bool standing = false;     ///< a product or block: may be raised off a coplanar face
};

struct Draft {
    ReadOptions options;
    std::filesystem::path file;
    Value root;
    Library library;   ///< the shipped one, with the file's definitions over it
    Material flagCloth;  ///< the shipped "black": a [material.black] of the file makes no flag
    Notes notes;
    Scene scene;
    std::deque<Object> objects;            ///< in the file's order
    std::map<std::string, Fields> single;  ///< [camera], [picture], ...: always there
    std::deque<DraftItem> items;
    std::deque<LampModel> measuredLamps;  ///< of the lights that name a photometric file
    std::map<std::string, std::size_t> materialIndex;  ///< in scene.materials, by kind and name
    glm::vec3 lookAt_m{0.0F};                          ///< the camera's, once it is read
    Value nothing;  ///< the table of sections that the file leaves out

    Diagnostics& messages() { return notes.messages; }
    const Fields& section(const std::string& name) const { return single.at(name); }
    bool wrote(std::string_view section) const { return root.find(section) != nullptr; }

    Object* find(std::string_view name);
    std::vector<Object*> all(std::string_view kind);
    /// A path in the file, relative to the scene file's folder.
    std::filesystem::path beside(const std::string& path) const;
    void warn(const Place& place, const std::string& code, const std::string& text);
    void recordDefault(const std::string& key, const std::string& value);
};

glm::vec3 metres(glm::dvec3 place_cm);
std::string shownCm(glm::vec3 place_m);  ///< "[0, 8, 5]" in centimetres, for messages and defaults
/// The middle of the box of all products, else of all blocks; empty without either.
std::optional<Box3> subjectBox(const Draft& draft);
/// Its middle, else the origin: where lights, cards and the camera look when the file is silent.
glm::vec3 subjectMiddle(const Draft& draft);

// --- Names and places (read_places.cpp) ---
/// The point that a target means: [x, y, z] in centimetres or a name. Reports unknown names and
/// circles; empty then, and when the named thing has a mistake of its own.
std::optional<glm::vec3> resolveTarget(Draft& draft, const Fields& fields, std::string_view key);
std::optional<glm::vec3> pointOf(Draft& draft, Object& object, const Place& askedAt);
/// Where a light stands that the file does not place; recorded as a default (read_lights.cpp).
std::optional<glm::vec3> defaultLightPlace(Draft& draft, Object& light);
/// Where the file puts an object by `at` or `around`; empty after a mistake. `fallback` stands in
/// when it has neither; without one that is a mistake.
std::optional<glm::vec3> placeByFile(Draft& draft, Object& object,
                                     std::optional<glm::vec3> fallback = std::nullopt);
/// Unit vector from `at_m` to what the object's aim names; with { from, to } a mirror's normal.
/// Defaults: the `around` point, else `fallback`; neither is a mistake.
struct Aim {
    glm::vec3 direction{0, 0, 1};
    double distance_m = 0.0;
};
std::optional<Aim> aimOf(Draft& draft, Object& object, glm::vec3 at_m,
                         std::optional<glm::vec3> fallback);
/// The named object, which must be of one of the kinds ("product|block"); reports and returns
/// empty otherwise.
Object* namedObject(Draft& draft, const Fields& fields, std::string_view key,
                    std::string_view kinds);

// --- Materials (read_materials.cpp) ---
/// Index in Scene::materials of a material of the library or the file. Reports unknown names at
/// `spot`; index 0 then. On an open mesh glass becomes a thin pane.
std::size_t useMaterial(Draft& draft, const Spot& spot, const std::string& name,
                        bool openMesh = false);
std::size_t useFabric(Draft& draft, const Spot& spot, const std::string& name);
std::size_t addMaterial(Draft& draft, Material material);
/// What the key "spectrum" names, of the library or a CSV file; empty after a mistake.
std::optional<FineSpectrum> spectrumOf(Draft& draft, const Fields& fields);

// --- Steps, in this order; each reports its mistakes and goes on ---
void applyOverrides(Draft& draft);    ///< --set and the variant asked for (read_overrides.cpp)
void indexObjects(Draft& draft);      ///< checks all tables against the schema (read_index.cpp)
void readMaterials(Draft& draft);     ///< [material.NAME], [fabric.NAME] (read_definitions.cpp)
void readLamps(Draft& draft);         ///< [lamp.NAME]
void readGels(Draft& draft);          ///< [gel.NAME] (read_gels.cpp)
void readModifiers(Draft& draft);     ///< [modifier.NAME]; after the materials (read_modifiers.cpp)
void readSurroundings(Draft& draft);  ///< table, backdrop, room
void readSolids(Draft& draft);        ///< products and blocks
void readCamera(Draft& draft);        ///< camera and picture
void readSheets(Draft& draft);        ///< boards, scrims, flags
void readLights(Draft& draft);
void readWhiteBalance(Draft& draft);  ///< may name a light
void standModifiers(Draft& draft);    ///< those of the lights, as items (read_worn.cpp)
void readProbes(Draft& draft);
void readLimits(Draft& draft);      ///< after camera and lights
void readOtherParts(Draft& draft);  ///< limits, motion, video; edges, variants, compare: not used yet
void refuseTooMuch(Draft& draft);   ///< more or farther than fits (read_reach.cpp)
void keepLampsFree(Draft& draft);   ///< of solids and surfaces (read_lamps_free.cpp)
void warnOfScene(Draft& draft);     ///< remarks that need the finished scene

/// Checks the key path of a --set option or of a variant against schema and names.
/// `what` is for messages. Empty when it is no key of this file.
struct KeyPath {
    const Key* key = nullptr;  ///< empty inside a table of free names (product.x.materials)
    Value* table = nullptr;    ///< the innermost table, made where it was missing
    std::string name;          ///< of the key in it
};
std::optional<KeyPath> findPath(Draft& draft, const std::string& path, const Place& place,
                                bool create);
/// The name written in an entry of a list, else "light-1" for the first light, and so on.
std::string nameOfEntry(const Value& entry, const std::string& kind, std::size_t index);

}  // namespace keyfall
