// Fills a page with variants of a scene, as written and without compensation, so that a browser can be held
// against `keyfall meter`. Not here: the comparison itself (compare).
//
//   page_driver SCENE OUT.html MOST_BYTES SAMPLES VARIANT,... LIVE,... WIDTH      "as-written" is the set itself
#include <cstdio>
#include <exception>
#include <sstream>
#include <string>

#include "renderer/transport/layers.h"
#include "renderer/transport/render.h"
#include "scene/colour.h"
#include "tools/keyfall/page.h"

namespace keyfall {
namespace {

std::vector<std::string> split(const std::string& text) {
    std::vector<std::string> words;
    std::istringstream in(text);
    for (std::string word; std::getline(in, word, ',');) words.push_back(word);
    return words;
}

/// In the order of the set's own keys; the file's values as a person wrote them are not looked up.
std::vector<std::pair<std::string, std::string>> changesOf(const Scene& scene, const std::string& name) {
    std::vector<std::pair<std::string, std::string>> changes;
    for (const Variant& v : scene.variants)
        if (v.name == name)
            for (const std::string& key : v.keys) changes.emplace_back(key, "changed");
    return changes;
}

void addVariant(SetReader& reader, const Options& options, const std::string& name, Page& page) {
    SetChange change;
    if (name != "as-written") change.variant = name;
    const auto set = reader.meter(reader.read(change), {});
    const Scene& scene = set->scene;
    Film film(scene.picture.width_px, scene.picture.height_px, layerInfos(scene));
    set->report.picture = render(*set->stage, film, renderSettings(options, {}));
    const auto mix = mixAsSet(scene, scene.camera.shutter_s.exact);
    const glm::dvec3 white = cameraWhite(scene.camera, scene.lights, automaticWhite(set->report.readings));
    const LinearImage image = expose(develop(film, mix), pictureFactor(scene.camera), white);
    std::string caption;
    for (const Variant& v : scene.variants)
        if (v.name == name) caption = v.caption;
    page.add({name, caption, changesOf(scene, name), {}, *set, film, mix, image, white});
}

int run(char** arguments) {
    Options options;
    options.scene = arguments[1];
    options.samples = std::stoi(arguments[4]);
    options.readingPaths = 4096;
    options.set = {std::string("picture.width=") + arguments[7]};
    options.quiet = true;
    SetReader reader(options);
    PageSettings settings;
    settings.title = reader.read({}).title;
    settings.at = "label";
    settings.by = Compare::By::none;
    settings.live = split(arguments[6]);
    settings.mostBytes = std::stoull(arguments[3]);
    Page page(settings);
    for (const std::string& name : split(arguments[5])) addVariant(reader, options, name, page);
    page.write(arguments[2]);
    return 0;
}

}  // namespace
}  // namespace keyfall

int main(int count, char** arguments) {
    if (count != 8) return 2;
    try {
        return keyfall::run(arguments);
    } catch (const std::exception& e) {
        std::fprintf(stderr, "page_driver: %s\n", e.what());
        return 1;
    }
}
