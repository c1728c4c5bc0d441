// The Stage's exits, scrims and the list of what light may come from. Not here: geometry (stage.cpp).
#include <algorithm>
#include <numbers>

#include "renderer/optics/bsdf_base.h"
#include "renderer/stage/lamp_geometry.h"
#include "renderer/stage/stage.h"

namespace keyfall {
namespace {

constexpr float kLeastShare = 0.01F;  // a source that is thought dark still gets its chance

Exit placed(const TableFace& face, const Light& light, std::uint32_t index) {
    Exit e;
    e.table = &face;
    e.light = index;
    e.shape = face.exit.shape;
    const Frame& local = face.exit.shape.frame;
    e.shape.centre_m = light.exit_m + light.axes.toWorld(face.exit.shape.centre_m);
    e.shape.frame = {light.axes.toWorld(local.x), light.axes.toWorld(local.y), light.axes.toWorld(local.z)};
    e.shape.bothSides = false;
    // Coarse directions mean that something diffuses the light: it hardly depends on them.
    e.candidates = face.directions > 9 ? 8 : 4;
    return e;
}

/// Share of an even lamp's flux that a sheet sends on: its solid angle from the lamp over 4 pi.
float shareOnSheet(const Scrim& scrim, glm::vec3 lamp_m) {
    const glm::vec3 to = lamp_m - scrim.shape.centre_m;
    const float area_m2 = scrim.shape.a_m * scrim.shape.b_m;
    const float d2 = std::max(glm::dot(to, to), 1e-6F);
    const float cosine = std::abs(glm::dot(to, scrim.shape.frame.z)) / std::sqrt(d2);
    const float caught = area_m2 * cosine / (d2 + area_m2) / (4.0F * std::numbers::pi_v<float>);
    return caught * (mean(scrim.fabric->transmittance) + mean(scrim.fabric->reflectance));
}

}  // namespace

float Emitter::luminance_perSrM2(glm::vec3 away) const {
    if (web == nullptr) return luminancePerFlux_perSrM2;
    // The opening is evenly bright: I = L A cos, with the area of the one face that is seen.
    const glm::dvec3 local(shape.frame.toLocal(away));
    return static_cast<float>(intensity_cd(*web, local) / std::max(std::abs(local.z), 1e-6)) * luminancePerFlux_perSrM2;
}

void Stage::addFaces() {
    for (std::size_t l = 0; l < tables_.size() && l < scene_.lights.size(); ++l) {
        if (tables_[l] == nullptr) continue;
        const Light& light = scene_.lights[l];
        emitters_[l].hidden = light.body != nullptr && light.body->hidesLamp;
        for (const TableFace& face : tables_[l]->faces)
            exits_.push_back(placed(face, light, static_cast<std::uint32_t>(l)));
    }
    for (std::size_t i = 0; i < scene_.items.size(); ++i) {
        const Item& item = scene_.items[i];
        if (item.kind != ItemKind::scrim) continue;
        Scrim scrim;
        scrim.item = static_cast<std::uint32_t>(i);
        scrim.shape = faceOf(item);
        scrim.fabric = &scene_.materials.at(item.materials.at(0));
        scrim.straight = std::max(kLeastShare, mean(scrim.fabric->straight));
        traits_[i].scrim = static_cast<int>(scrims_.size());
        scrims_.push_back(scrim);
    }
    for (const Emitter& e : emitters_) sources_.push_back({e.centre_m, e.boundingRadius_m, 1.0F, e.layer, {}, false, e.hidden});
    for (const Exit& e : exits_)
        sources_.push_back({e.shape.centre_m, boundingRadius_m(e.shape),
                            std::max(kLeastShare, mean(fluxOf(*e.table))), e.light, e.shape.frame.z, false, false});
    for (const Scrim& s : scrims_)
        for (const Emitter& e : emitters_)
            sources_.push_back({s.shape.centre_m, boundingRadius_m(s.shape),
                                std::max(kLeastShare, shareOnSheet(s, e.centre_m)), e.layer, s.shape.frame.z, true, false});
}

}  // namespace keyfall
