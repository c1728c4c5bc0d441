#include "scene/bare_scene.h"

namespace keyfall {

Scene bareScene(const LampShape& shape, const Material& lampBody, const ModifierBody* body, Doors doors) {
    Scene scene;
    scene.hasCamera = false;
    scene.materials.push_back(lampBody);
    Light light;
    light.name = "lamp";
    light.shape = shape;
    light.shape.centre_m = body != nullptr ? body->lampCentre_m : glm::vec3(0.0F);
    light.shape.frame = body != nullptr ? lampFrameIn(*body, Frame{}) : Frame{};
    light.fullFlux = 1.0;
    light.spectrum = lampSpectrum(5500.0);
    light.bands = bandXYZ(light.spectrum);
    scene.lights.push_back(light);
    if (body == nullptr) return scene;
    scene.materials.insert(scene.materials.end(), body->materials.begin(), body->materials.end());
    for (const ModifierPart& part : body->parts) {
        if (part.outside && doors == Doors::without) continue;
        Item item;
        item.name = body->name;
        item.kind = ItemKind::modifier;
        item.mesh = part.mesh;
        item.materials = {1 + part.material};
        item.outside = part.outside;
        scene.items.push_back(std::move(item));
    }
    return scene;
}

}  // namespace keyfall
