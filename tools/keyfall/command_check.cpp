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

std::string lineOf(const Light& light) {
    std::string gels;
    for (const std::string& gel : light.gels) gels += (gels.empty() ? ", behind " : " and ") + gel;
    const std::string bare = fmt::format("bare, {:.1f} cm from its aim", light.lampDistance_m * 1e2);
    return fmt::format("light {}: {}, {:.0f} K{}, {}\n", light.name,
                       light.kind == LightKind::flash ? "flash" : "continuous", light.colourTemperature_K, gels,
                       light.body == nullptr ? bare
                                             : fmt::format("in {}, exit {:.1f} cm and lamp {:.1f} cm from its aim",
                                                           light.modifier, light.exitDistance_m * 1e2,
                                                           light.lampDistance_m * 1e2));
}

std::string linesOf(const Options& options, const Scene& scene) {
    std::string text = fmt::format("{}: no mistakes\n", options.scene);
    for (const Item& item : scene.items) {
        if (item.kind != ItemKind::product) continue;
        const glm::vec3 size = size_cm(item);
        text += fmt::format("product {}: {:.1f} x {:.1f} x {:.1f} cm (width, height, depth as it stands), {} triangles, {}\n",
                            item.name, size.x, size.y, size.z, item.mesh.triangle.size(),
                            item.mesh.closed ? "closed" : "open");
    }
    for (const Light& light : scene.lights) text += lineOf(light);
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
    j["lights"] = Json::array();
    for (const Light& light : scene.lights)
        j["lights"].push_back({{"name", light.name},
                               {"kind", light.kind == LightKind::flash ? "flash" : "continuous"},
                               {"colour_temperature", light.colourTemperature_K},
                               {"gels", light.gels},
                               {"modifier", light.modifier},
                               {"exit_cm", light.exitDistance_m * 1e2},
                               {"lamp_cm", light.lampDistance_m * 1e2}});
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
