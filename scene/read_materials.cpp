// The materials in use: from names to indices in the scene. Not here: definitions of the file
// (read_definitions.cpp).
#include <fmt/format.h>

#include "scene/read_draft.h"

namespace keyfall {

namespace {

std::vector<std::string> materialNames(const std::map<std::string, Material>& table) {
    std::vector<std::string> names;
    for (const auto& [name, material] : table) names.push_back(name);
    return names;
}

/// The key `surface` takes any material; those made for it are listed apart.
std::string allowedNames(const std::string& kind, const Spot& spot) {
    if (spot.label.ends_with(".surface"))
        return "allowed: a name of `keyfall list surface` or `keyfall list material`, or of "
               "[material.NAME]";
    return fmt::format("allowed: a name of `keyfall list {}` or of [{}.NAME]", kind, kind);
}

std::size_t useNamed(Draft& draft, const std::map<std::string, Material>& table, const char* kind,
                     const Spot& spot, const std::string& name, bool thin) {
    const auto at = table.find(name);
    const Value* own = draft.root.find(kind);
    if (at == table.end() && own != nullptr && own->find(name) != nullptr)
        return 0;  // its mistake is told there
    if (at == table.end()) {
        draft.messages().error(
            spot.place,
            {fmt::format("{}: there is no {} \"{}\"", spot.label, kind, name),
             allowedNames(kind, spot),
             didYouMean(name, materialNames(table))});
        return 0;
    }
    const bool pane = thin && at->second.base == Base::glass;
    const std::string id = fmt::format("{}/{}{}", kind, name, pane ? "/thin" : "");
    const auto known = draft.materialIndex.find(id);
    if (known != draft.materialIndex.end()) return known->second;
    Material material = at->second;
    material.thin = material.thin || pane;
    return draft.materialIndex[id] = addMaterial(draft, std::move(material));
}

}  // namespace

std::size_t addMaterial(Draft& draft, Material material) {
    draft.scene.materials.push_back(std::move(material));
    return draft.scene.materials.size() - 1;
}

std::size_t useMaterial(Draft& draft, const Spot& spot, const std::string& name, bool openMesh) {
    return useNamed(draft, draft.library.materials, "material", spot, name, openMesh);
}

std::size_t useFabric(Draft& draft, const Spot& spot, const std::string& name) {
    return useNamed(draft, draft.library.fabrics, "fabric", spot, name, false);
}

}  // namespace keyfall
