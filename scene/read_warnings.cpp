// Remarks about a finished scene: stable codes for reports, sentences for people.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scene/motion.h"
#include "scene/photo.h"
#include "scene/read_draft.h"
#include "scene/read_photometry.h"
#include "scene/read_surface.h"

namespace keyfall {

namespace {

void warnOfSizes(Draft& draft, const DraftItem& entry) {
    constexpr double kSmallest_cm = 0.5, kLargest_cm = 150.0;
    const glm::dvec3 size(boundsOf(entry.item.mesh).size());
    const double largest_cm = std::max({size.x, size.y, size.z}) / kMetresPerCm;
    if (largest_cm >= kSmallest_cm && largest_cm <= kLargest_cm) return;
    const Fields& fields = entry.object->fields;
    draft.warn(fields.placeOf(fields.given("unit") ? "unit" : "height"), "product-size",
               fmt::format("{} is {:.4g} cm large; tabletop products have {} to {} cm: is the {} "
                           "right?",
                           fields.label(), largest_cm, kSmallest_cm, kLargest_cm,
                           fields.given("unit") ? "unit" : "height"));
}

void warnOfPanes(Draft& draft, const DraftItem& entry) {
    if (entry.item.mesh.closed || entry.object == nullptr) return;
    for (const std::size_t index : entry.item.materials) {
        const Material& material = draft.scene.materials[index];
        if (material.base != Base::glass || !material.thin) continue;
        const Fields& fields = entry.object->fields;
        draft.warn(fields.placeOf("material"), "glass-on-open-mesh",
                   fmt::format("{}: \"{}\" on a mesh that is not closed is taken for a thin pane",
                               fields.label(), material.name));
        return;
    }
}

/// What the lamp's dial does not have. A third written with one digit (0.3, 0.7) is that third.
void warnOfPower(Draft& draft, const Light& light) {
    constexpr double kWritten_stops = 0.035;
    const double set_stops = light.power_stops;
    if (!light.on || !std::isfinite(set_stops)) return;
    const Place place = draft.find(light.name)->fields.placeOf("power");
    if (light.lowestPower_stops && set_stops < *light.lowestPower_stops - 1e-3)
        draft.warn(place, "power-under-lowest",
                   fmt::format("light.{}: power {} is less than its lowest, {}", light.name, light.powerText,
                               canonicalPower(*light.lowestPower_stops)));
    if (!light.powerStep_stops) return;
    const double nearest_stops = std::round(set_stops / *light.powerStep_stops) * *light.powerStep_stops;
    if (std::abs(set_stops - nearest_stops) > kWritten_stops)
        draft.warn(place, "power-off-step",
                   fmt::format("light.{}: power {} lies between two steps of its dial ({:g} stop); the nearest is {}",
                               light.name, light.powerText, *light.powerStep_stops, canonicalPower(nearest_stops)));
}

void warnOfLights(Draft& draft) {
    const Camera& camera = draft.scene.camera;
    bool flash = false, any = draft.scene.room && draft.scene.room->ambientIlluminance_lx > 0.0;
    for (const Light& light : draft.scene.lights) {
        any = any || light.strength() > 0.0;
        flash = flash || (light.kind == LightKind::flash && light.strength() > 0.0);
        warnOfPower(draft, light);
        if (!light.fluxUncertain || !light.on) continue;
        draft.warn(draft.find(light.name)->fields.place(), "flux-uncertain",
                   fmt::format("light.{}: its flux follows from {} alone and is uncertain by about "
                               "0.9 stop; give a guide number or a reading",
                               light.name, light.kind == LightKind::flash ? "W·s" : "watts"));
    }
    const Fields& fields = draft.find("camera")->fields;
    const std::string cut = flashCutText(camera);
    if (flash && !cut.empty()) draft.warn(fields.placeOf("shutter"), "shutter-faster-than-sync", cut);
    if (!any && !draft.messages().hasErrors())  // a light with a mistake is none, and says so
        draft.warn({draft.file.string(), 0, 0}, "no-light", "no light is on: everything is black");
}

void warnOutsideRoom(Draft& draft) {
    for (const DraftItem& entry : draft.items) {
        if (entry.item.kind != ItemKind::room) continue;
        const Box3 room = boundsOf(entry.item.mesh);
        const auto outside = [&room](glm::vec3 p) {
            return glm::any(glm::lessThan(p, room.low)) || glm::any(glm::greaterThan(p, room.high));
        };
        for (const Light& light : draft.scene.lights)
            if (outside(light.shape.centre_m) || outside(light.exit_m))
                draft.messages().error(draft.find(light.name)->fields.place(),
                                       {fmt::format("light.{} stands outside the room", light.name),
                                        {},
                                        "move it, or enlarge [room]"});
        if (draft.scene.hasCamera && outside(draft.scene.camera.lens_m))
            draft.messages().error(
                draft.find("camera")->fields.place(),
                {"the camera stands outside the room", {}, "move it, or enlarge [room]"});
    }
}

/// A picture from within glass or liquid would need the first stretch's absorption.
void refuseCameraInside(Draft& draft) {
    if (!draft.scene.hasCamera) return;
    const Object& camera = *draft.find("camera");
    if (camera.state != Object::State::placed) return;
    for (const DraftItem& entry : draft.items)
        if (entry.on && isInside(entry.item.mesh, camera.point_m))
            camera.fields.error("at", {fmt::format("lies inside \"{}\"", entry.item.name),
                                       "a camera stands outside of solids",
                                       "move it away"});
}

}  // namespace

void warnOfScene(Draft& draft) {
    for (const DraftItem& entry : draft.items) {
        if (!entry.on) continue;
        if (entry.item.kind == ItemKind::product) warnOfSizes(draft, entry);
        warnOfPanes(draft, entry);
    }
    warnOfLights(draft);
    warnOfNearFields(draft);
    warnOutsideRoom(draft);
    refuseCameraInside(draft);
    if (!draft.scene.room)
        draft.warn({draft.file.string(), 0, 0}, "no-room",
                   "no [room]: the set stands in black space; real walls would fill the shadows");
}

}  // namespace keyfall
