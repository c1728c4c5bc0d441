// An OBJ from any bytes: a mesh that keeps what obj.h guarantees, or an error that says something.
// Not here: MTL files, which the bytes can only name.
#include <cmath>

#include "scene/obj.h"
#include "tests/fuzz/fuzz_target.h"

namespace keyfall::fuzz {

namespace {

bool isFinite(glm::vec3 p) {
    return std::isfinite(p.x) && std::isfinite(p.y) && std::isfinite(p.z);
}

std::string brokenByMesh(const ObjFile& obj) {
    const Mesh& mesh = obj.mesh;
    if (mesh.triangle.empty()) return "at least one triangle";
    if (mesh.normal.size() != mesh.position_m.size()) return "a normal for each point";
    for (const auto& triangle : mesh.triangle)
        for (const std::uint32_t corner : triangle)
            if (corner >= mesh.position_m.size()) return "indices in range";
    for (std::size_t i = 0; i < mesh.position_m.size(); ++i)
        if (!isFinite(mesh.position_m[i]) || !isFinite(mesh.normal[i])) return "no NaN";
    for (const std::uint16_t slot : mesh.slot)
        if (slot >= obj.slotName.size()) return "slots in range";
    return {};
}

}  // namespace

std::string readObjFile(std::string_view bytes) {
    try {
        return brokenByMesh(readObj(fileOf(bytes, ".obj"), 0.7F));
    } catch (const ObjError& error) {
        return error.text.empty() ? "an error says what and where" : "";
    }
}

}  // namespace keyfall::fuzz

#ifdef KEYFALL_LIBFUZZER
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return keyfall::fuzz::judge(keyfall::fuzz::readObjFile, data, size);
}
#endif
