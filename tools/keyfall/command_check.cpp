// `check`: every mistake, every default, the product's size; renders nothing.
#include <fmt/core.h>

#include <nlohmann/json.hpp>

#include "commands.h"
#include "outputs.h"
#include "report.h"
#include "scene_input.h"

namespace keyfall {
namespace {

using Json = nlohmann::ordered_json;

glm::vec3 size_cm(const Item& product) { return boundsOf(product.mesh).size() * 100.0F; }

std::string linesOf(const Options& options, const Scene& scene) {
    std::string text = fmt::format("{}: no mistakes\n", options.scene);
    for (const Item& item : scene.items) {
        if (item.kind != ItemKind::product) continue;
        const glm::vec3 size = size_cm(item);
        text += fmt::format("product {}: {:.1f} x {:.1f} x {:.1f} cm (width, height, depth as it stands), {} triangles, {}\n",
                            item.name, size.x, size.y, size.z, item.mesh.triangle.size(),
                            item.mesh.closed ? "closed" : "open");
    }
    if (!scene.defaults.empty()) text += "filled in, as the file does not say:\n";
    for (const FilledDefault& d : scene.defaults) text += fmt::format("  {} = {}\n", d.key, d.value);
    return text;
}

Json messageJson(const Diagnostic& d) {
    return {{"severity", d.severity == Diagnostic::Severity::error ? "error" : "warning"},
            {"file", d.file.string()},
            {"line", d.line},
            {"column", d.column},
            {"text", d.text}};
}

void putScene(Json& j, const Scene& scene) {
    j["title"] = scene.title;
    j["products"] = Json::array();
    for (const Item& item : scene.items) {
        if (item.kind != ItemKind::product) continue;
        const glm::vec3 size = size_cm(item);
        j["products"].push_back({{"name", item.name},
                                 {"size_cm", {size.x, size.y, size.z}},
                                 {"triangles", item.mesh.triangle.size()},
                                 {"closed", item.mesh.closed}});
    }
    j["defaults"] = Json::array();
    for (const FilledDefault& d : scene.defaults) j["defaults"].push_back({{"key", d.key}, {"value", d.value}});
}

/// Also of a scene with mistakes: `messages` are then what it is about.
Json jsonOf(const Options& options, const SceneInput& input) {
    Json j = {{"program", "keyfall"}, {"schema", 1}, {"version", KEYFALL_VERSION}, {"scene", options.scene}};
    j["good"] = input.scene.has_value();
    j["messages"] = Json::array();
    for (const Diagnostic& d : input.diagnostics) j["messages"].push_back(messageJson(d));
    if (input.scene) putScene(j, *input.scene);
    return j;
}

}  // namespace

int runCheck(const Options& options) {
    requireOutputs(options.scene, {{"--json", options.json}});
    const SceneInput input = loadScene(options, true);
    if (input.scene && !options.quiet && options.json != "-") writeStandardOutput(linesOf(options, *input.scene));
    if (!options.json.empty()) writeText(options.json, textOf(jsonOf(options, input)));
    return input.exitCode;
}

}  // namespace keyfall
