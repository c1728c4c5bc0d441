#include "lamp_subject.h"

#include <fmt/core.h>

#include "interrupt.h"
#include "outputs.h"
#include "prepare.h"
#include "scene/diagnostics.h"
#include "scene/library.h"
#include "scene/modifier_build.h"
#include "scene_input.h"

namespace keyfall {
namespace {

/// "a, b, c" of a map's keys.
template <class Map>
std::string namesOf(const Map& map) {
    std::vector<std::string> names;
    for (const auto& entry : map) names.push_back(entry.first);
    return joined(names);
}

template <class Map>
const typename Map::mapped_type& named(const Map& map, const std::string& option, const std::string& name) {
    const auto found = map.find(name);
    if (found != map.end()) return found->second;
    throw CommandLineError(fmt::format("{} {}: the library holds no such; it holds {}", option, name, namesOf(map)));
}

Light& lightOf(Scene& scene, const std::string& name) {
    if (name.empty() && scene.lights.size() == 1) return scene.lights.front();
    std::vector<std::string> lights;
    for (Light& light : scene.lights) {
        if (light.name == name) return light;
        lights.push_back(light.name);
    }
    const std::string names = joined(lights);
    if (scene.lights.empty()) throw CommandLineError("the scene has no light to measure");
    if (name.empty()) throw CommandLineError("which light? --light takes one of " + names);
    throw CommandLineError(fmt::format("--light {}: the scene has no such light; it has {}", name, names));
}

/// A measured lamp's file is read each time the scene is: what would be written over it is lost for good.
void requireNoPhotometry(const Scene& scene, const Options& options) {
    const std::filesystem::path folder = std::filesystem::path(options.scene).parent_path();
    for (const Light& light : scene.lights)
        if (light.web) requireApart({"--ies", options.lamp.ies}, (folder / light.web->file).string(), "the photometry of light " + light.name);
}

AskedLamp ofScene(const Options& options) {
    AskedLamp asked;
    SceneInput input = loadScene(options, false);
    asked.exitCode = input.exitCode;
    if (!input.scene) return asked;
    requireNoPhotometry(*input.scene, options);
    Light& light = lightOf(*input.scene, options.lamp.light);
    const Material lampBody = input.scene->materials.at(light.bodyMaterial);
    TableMaker maker(options);
    std::shared_ptr<const NearFieldTable> table;
    if (light.body) table = maker.tableOf(light.shape, lampBody, *light.body, light.name);
    maker.solve(light, lampBody);
    asked.stopped = interruptFlag().load();
    asked.subject = {light.shape, lampBody, light.body, table, light.web, light.bands};
    LampReport& r = asked.report;
    r.scene = options.scene;
    r.light = light.name;
    r.modifier = light.modifier;
    r.kind = light.kind;
    r.flux = light.fullFlux;
    r.fluxUncertain = light.fluxUncertain;
    r.gels = light.gels;
    return asked;
}

std::shared_ptr<const ModifierBody> bodyOf(const Options& options, const LampModel& lamp, const Library& library) {
    const std::string& name = options.lamp.modifier;
    if (name == "none") return nullptr;
    const ModifierModel& model = named(library.modifiers, "--modifier", name);
    try {
        return std::make_shared<const ModifierBody>(buildModifier(model, lamp.shape, library.materials, library.fabrics));
    } catch (const ModifierMisfit& e) {
        throw CommandLineError(fmt::format("--lamp {} --modifier {}: {}", options.lamp.lamp, name, e.what()));
    }
}

AskedLamp ofLibrary(const Options& options) {
    const Library library = readLibrary();
    const LampModel& lamp = named(library.lamps, "--lamp", options.lamp.lamp);
    AskedLamp asked;
    LampSubject& s = asked.subject;
    s.shape = lamp.shape;
    s.lampBody = library.materials.at(lamp.surface);
    s.light = bandXYZ(lamp.spectrum.value_or(lampSpectrum(lamp.colourTemperature_K)));
    s.body = bodyOf(options, lamp, library);
    if (s.body) s.table = TableMaker(options).tableOf(s.shape, s.lampBody, *s.body, options.lamp.lamp);
    asked.stopped = interruptFlag().load();
    LampReport& r = asked.report;
    r.light = options.lamp.lamp;
    r.modifier = options.lamp.modifier;
    r.kind = options.lamp.lumenSeconds ? LightKind::flash : LightKind::continuous;
    r.isPerThousand = !options.lamp.lumens && !options.lamp.lumenSeconds;
    r.flux = options.lamp.lumens.value_or(options.lamp.lumenSeconds.value_or(1000.0));
    return asked;
}

}  // namespace

AskedLamp askedLamp(const Options& options) {
    if (options.scene.empty() && options.lamp.lamp.empty())
        throw CommandLineError("lamp needs a scene file, or --lamp and --modifier");
    AskedLamp asked = options.scene.empty() ? ofLibrary(options) : ofScene(options);
    asked.report.seed = options.seed;
    return asked;
}

}  // namespace keyfall
