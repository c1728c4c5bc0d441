#include "chosen_lights.h"

#include <fmt/core.h>

#include <algorithm>

#include "outputs.h"
#include "renderer/meter/ambient.h"
#include "scene/diagnostics.h"
#include "scene/motion.h"

namespace keyfall {
namespace {

constexpr const char* kAmbient = "ambient";  // no light can be called so: a word of the reader's

bool holds(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

void requireKnown(const std::vector<std::string>& names, const Scene& scene) {
    std::vector<std::string> there;
    for (const Light& l : scene.lights) there.push_back(l.name);
    there.emplace_back(kAmbient);
    for (const std::string& name : names) {
        if (holds(there, name)) continue;
        const std::string hint = didYouMean(name, there);
        throw CommandLineError(fmt::format("--lights: the scene has no light \"{}\"; allowed: {}; {}", name, joined(there),
                                           hint.empty() ? fmt::format("for example --lights {}", there.front()) : hint));
    }
}

void darken(Scene& scene) {
    if (scene.room) scene.room->ambientIlluminance_lx = 0.0;
    for (Material& m : scene.materials) m.glow_cdm2 = Bands(0.0F);
}

/// A warning that no longer holds leaves both lists: lines for people and the report.
void forget(const std::string& code, SceneInput& input) {
    std::string text;
    auto& warnings = input.scene->warnings;
    for (const Warning& w : warnings)
        if (w.code == code) text = w.text;
    if (text.empty()) return;
    const auto gone = [&](const auto& w) { return w.text == text; };
    warnings.erase(std::remove_if(warnings.begin(), warnings.end(), gone), warnings.end());
    auto& said = input.diagnostics;
    said.erase(std::remove_if(said.begin(), said.end(), gone), said.end());
}

void warn(const std::string& code, const std::string& text, SceneInput& input) {
    input.scene->warnings.push_back({code, text});
    input.diagnostics.push_back({Diagnostic::Severity::warning, input.scene->file, 0, 0, text, false});
}

}  // namespace

void chooseLights(const std::vector<std::string>& names, SceneInput& input) {
    if (names.empty() || !input.scene) return;
    Scene& scene = *input.scene;
    requireKnown(names, scene);
    const bool ambient = holds(names, kAmbient);
    for (Light& l : scene.lights) {
        const bool asSet = ambient && l.kind == LightKind::continuous && l.on;
        l.on = holds(names, l.name) || asSet;
    }
    if (!ambient) darken(scene);
    forget("no-light", input);
    forget("shutter-faster-than-sync", input);
    const bool flash = anyFlashOn(scene);
    const std::string cut = flashCutText(scene.camera);
    if (flash && !cut.empty()) warn("shutter-faster-than-sync", cut, input);
    if (!flash && !anyContinuousOn(scene))
        warn("no-light", "of the lights chosen with --lights none gives light: everything is black", input);
}

}  // namespace keyfall
