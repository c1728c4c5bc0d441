// Sets with lights in modifiers, read by their tables and by tracing the real insides.
// Not here: bodies and materials built by hand (modifier_bodies.h).
#pragma once

#include <map>

#include "renderer/transport/bake.h"
#include "scene/library.h"
#include "scene/modifier_build.h"
#include "modifier_bodies.h"
#include "set.h"

namespace keyfall::test {

struct Dressed {
    Set set;
    std::shared_ptr<const ModifierBody> body;
    LightTables tables;

    /// Puts `model` on a new light of 1 lm, its exit at `exit_m`, facing `aim`.
    Light& wear(const ModifierModel& model, const LampShape& shape, glm::vec3 exit_m, glm::vec3 aim) {
        const std::map<std::string, Material> materials = {{"silver", metalOf(0.85F, 0.5F)}, {"white", mattOf(0.85F)}};
        const std::map<std::string, Material> fabrics = {{"full", skinOf(0.354F, 0.57F)},
                                                         {"half", skinOf(0.595F, 0.325F)},
                                                         {"leaky", skinOf(0.5F, 0.4F, 0.2F)}};
        body = std::make_shared<ModifierBody>(buildModifier(model, shape, materials, fabrics));
        const std::size_t index = set.scene.lights.size();
        set.light(shape, 1.0, 0.5F);
        Light& light = set.scene.lights.back();
        light.body = body;
        light.exit_m = exit_m;
        light.axes = frameAround(glm::normalize(aim));
        light.shape.centre_m = exit_m + light.axes.toWorld(body->lampCentre_m);
        light.shape.frame = lampFrameIn(*body, light.axes);
        for (const ModifierPart& part : body->parts) {
            Mesh mesh = part.mesh;
            place(mesh, light.axes, exit_m);
            Item& item = set.item(std::move(mesh), set.material(body->materials[part.material]), ItemKind::modifier);
            item.light = index;
            item.outside = part.outside;
        }
        return light;
    }
    void bakeLast(BakeSettings settings = {}) {
        tables.resize(set.scene.lights.size());
        settings.run.threads = 2;
        const Light& light = set.scene.lights.back();
        tables.back() = std::make_shared<NearFieldTable>(
            bake(light.shape, set.scene.materials[light.bodyMaterial], *body, settings));
    }
};

inline ModifierModel bowl() {
    ModifierModel m;
    m.name = "bowl";
    m.kind = ModifierKind::bowl;
    m.inside = "silver";
    m.profile_m = {{0.03, 0.0}, {0.09, 0.09}};
    m.lampAt_m = 0.03;
    return m;
}

inline ModifierModel box(const std::string& front, const std::string& baffle = "") {
    ModifierModel m;
    m.name = "box";
    m.kind = ModifierKind::box;
    m.inside = "white";
    m.opening_m = {0.4, 0.4};
    m.depth_m = 0.25;
    m.lampAt_m = 0.05;
    m.front = front;
    m.baffle = baffle;
    m.baffleAt_m = 0.14;
    return m;
}

/// Log2 of the table's reading over the traced one, with its standard error in stops.
struct Agreement {
    double stops;
    double sigma_stops;
};
inline Agreement agreement(Dressed& d, const Probe& probe, std::uint32_t pointsWith, std::uint32_t pointsWithout) {
    const Stage with(d.set.scene, 2, d.tables);
    const Stage without(d.set.scene, 2);
    const Reading a = illuminance_lx(with, probe, pointsWith);
    const Reading b = illuminance_lx(without, probe, pointsWithout, 2);
    const double relative = std::hypot(a.standardError() / a.mean(), b.standardError() / b.mean());
    return {std::log2(a.mean() / b.mean()), relative / std::numbers::ln2};
}

/// A card close to the mouth sends light back in; a table below; the probe looks up.
inline void addSurroundings(Dressed& d) {
    d.set.item(sheet({0.0F, 0.0F, 0.0F}, {0, 1, 0}, {1.2F, 1.2F}), d.set.matt(0.6F));
    d.set.item(sheet({0.25F, 0.2F, 0.0F}, {-1, 0, 0}, {0.4F, 0.4F}), d.set.matt(0.9F));
}

// What a table may be off near its modifier: 0.03 stop, the project's own bound.
inline constexpr double kBound_stops = 0.03;

inline void checkOne(Dressed& d, const Probe& probe, std::uint32_t with = 2048, std::uint32_t without = 32768,
                     double bound_stops = kBound_stops) {
    const Agreement a = agreement(d, probe, with, without);
    INFO("table over traced: " << a.stops << " +- " << a.sigma_stops << " stops");
    CHECK(a.sigma_stops < 0.6 * bound_stops);
    CHECK(std::abs(a.stops) < bound_stops + 2.0 * a.sigma_stops);
}

/// A spot reading of what lies at `at_m`, from `lens_m`.
inline Probe spotAt(Dressed& d, glm::vec3 lens_m, glm::vec3 at_m) {
    d.set.scene.camera.lens_m = lens_m;
    Probe p = d.set.probe(at_m, lens_m - at_m);
    p.kind = ProbeKind::spot;
    p.spotAngle_rad = 0.01;
    return p;
}

}  // namespace keyfall::test
