// `check`: every mistake, every default, the product's size; renders nothing.
#include <fmt/core.h>

#include "commands.h"
#include "scene_input.h"

namespace keyfall {
namespace {

void printProducts(const Scene& scene) {
    for (const Item& item : scene.items) {
        if (item.kind != ItemKind::product) continue;
        const glm::vec3 size_cm = boundsOf(item.mesh).size() * 100.0F;
        fmt::print("product {}: {:.1f} x {:.1f} x {:.1f} cm (width, height, depth as it stands), {} triangles, {}\n",
                   item.name, size_cm.x, size_cm.y, size_cm.z, item.mesh.triangle.size(),
                   item.mesh.closed ? "closed" : "open");
    }
}

}  // namespace

int runCheck(const Options& options) {
    const SceneInput input = loadScene(options, true);
    if (!input.scene) return input.exitCode;
    const Scene& scene = *input.scene;
    fmt::print("{}: no mistakes\n", options.scene);
    printProducts(scene);
    if (!scene.defaults.empty()) fmt::print("filled in, as the file does not say:\n");
    for (const FilledDefault& d : scene.defaults) fmt::print("  {} = {}\n", d.key, d.value);
    return 0;
}

}  // namespace keyfall
