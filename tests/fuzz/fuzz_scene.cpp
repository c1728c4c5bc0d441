// A scene file from any bytes: a scene exactly when there is no error, and messages that say
// something. Its meshes and tables are those of assets/ and tests/. Not here: OBJ (fuzz_obj.cpp).
#include "scene/library.h"
#include "scene/read_scene.h"
#include "tests/fuzz/fuzz_target.h"

namespace keyfall::fuzz {

namespace {

bool allFinite(glm::vec3 p) {
    return std::isfinite(p.x) && std::isfinite(p.y) && std::isfinite(p.z);
}

std::string brokenByScene(const Scene& scene) {
    for (const Item& item : scene.items) {
        for (const glm::vec3& p : item.mesh.position_m)
            if (!allFinite(p)) return "every point of \"" + item.name + "\" is finite";
        for (const std::size_t material : item.materials)
            if (material >= scene.materials.size()) return "every item's material is there";
    }
    for (const Light& light : scene.lights) {
        if (!light.rating && !(light.fullFlux > 0.0)) return "a light has flux";
        if (!allFinite(light.shape.centre_m) || !allFinite(light.shape.frame.z))
            return "a light has a place";
        if (light.bodyMaterial >= scene.materials.size()) return "a lamp's material is there";
    }
    for (const Probe& probe : scene.probes)
        if (!allFinite(probe.at_m) || !allFinite(probe.facing))
            return "a probe has a place and a direction";
    return {};
}

}  // namespace

std::string readSceneFile(std::string_view bytes) {
    static const Library library = readLibrary();
    ReadOptions options;
    options.library = &library;
    const ReadResult result = readSceneText(
        bytes, std::filesystem::path(KEYFALL_TESTS) / "fuzz" / "corpus" / "any.toml", options);
    if (result.scene.has_value() != (result.exitCode() == 0))
        return "a scene exactly when there is no error";
    for (const Diagnostic& d : result.diagnostics)
        if (d.text.empty() || d.file.empty()) return "a message says what and where";
    return result.scene ? brokenByScene(*result.scene) : std::string();
}

}  // namespace keyfall::fuzz

#ifdef KEYFALL_LIBFUZZER
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return keyfall::fuzz::judge(keyfall::fuzz::readSceneFile, data, size);
}
#endif
