// Reads scenes written inside a test, and finds things in them. Not here: any check.
#pragma once

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "scene/read_scene.h"

namespace keyfall::test {

/// The text as a scene file in a folder of its own; meshes by absolute path.
inline ReadResult readText(const std::string& text, const std::vector<std::string>& set = {}) {
    const auto folder = std::filesystem::temp_directory_path() / "keyfall_read_tests";
    std::filesystem::create_directories(folder);
    const auto file = folder / (std::to_string(std::hash<std::string>{}(text)) + ".toml");
    std::ofstream(file) << text;
    ReadOptions options;
    options.set = set;
    ReadResult result = readScene(file, options);
    std::filesystem::remove(file);
    return result;
}

inline std::string errorsOf(const ReadResult& result) {
    std::string text;
    for (const Diagnostic& d : result.diagnostics)
        if (d.severity == Diagnostic::Severity::error) text += format(d) + "\n";
    return text;
}

/// The scene; the test stops with the messages when there were mistakes.
inline Scene sceneOf(const std::string& text, const std::vector<std::string>& set = {}) {
    ReadResult result = readText(text, set);
    INFO(errorsOf(result));
    REQUIRE(result.scene.has_value());
    return *std::move(result.scene);
}

template <class Named>
const Named& named(const std::vector<Named>& list, const std::string& name) {
    for (const Named& one : list)
        if (one.name == name) return one;
    FAIL("no \"" << name << "\" in the scene");
    return list.front();
}

inline bool warns(const Scene& scene, const std::string& code) {
    for (const Warning& w : scene.warnings)
        if (w.code == code) return true;
    return false;
}

/// The default recorded for a key, or "(not recorded)".
inline std::string defaultOf(const Scene& scene, const std::string& key) {
    for (const FilledDefault& d : scene.defaults)
        if (d.key == key) return d.value;
    return "(not recorded)";
}

inline void checkCm(glm::vec3 place_m, glm::dvec3 expected_cm, double tolerance_cm = 1e-3) {
    INFO("at " << place_m.x * 100 << " " << place_m.y * 100 << " " << place_m.z * 100 << " cm");
    for (int i = 0; i < 3; ++i)
        CHECK(static_cast<double>(place_m[i]) * 100.0 ==
              Approx(expected_cm[i]).margin(tolerance_cm));
}

inline void checkDirection(glm::vec3 direction, glm::vec3 expected) {
    INFO("is " << direction.x << " " << direction.y << " " << direction.z);
    CHECK(glm::distance(direction, expected) < 1e-5F);
}

/// A 10 cm cube of concrete on nothing, and a lamp in front of it: the least that has a name to aim
/// at. `more` is added at its end, where it still belongs to the light.
inline std::string cubeAndLight(const std::string& more = {}) {
    return "[table]\nshape = \"none\"\n[backdrop]\nshape = \"none\"\n"
           "[[block]]\nname = \"cube\"\nsize = [10, 10, 10]\n"
           "[[light]]\nname = \"key\"\nlumens = 1000\n" +
           more;
}

}  // namespace keyfall::test
