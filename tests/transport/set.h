// A set built in code, for laws that no scene file can say: closed cubes, glowing walls, glass
// slabs. Not here: scene files (tests/laws).
#pragma once

#include <cmath>
#include <string>

#include "renderer/film/reading.h"
#include "renderer/meter/probe.h"
#include "renderer/stage/stage.h"
#include "renderer/transport/layers.h"
#include "scene/scene.h"
#include "scene/solids.h"

namespace keyfall::test {

struct Set {
    Scene scene;

    std::size_t material(const Material& m) {
        scene.materials.push_back(m);
        return scene.materials.size() - 1;
    }
    std::size_t matt(float reflectance) {
        Material m;
        m.name = "matt";
        m.reflectance = Bands(reflectance);
        return material(m);
    }
    Item& item(Mesh mesh, std::size_t material, ItemKind kind = ItemKind::block) {
        Item i;
        i.name = "item-" + std::to_string(scene.items.size());
        i.kind = kind;
        i.mesh = std::move(mesh);
        i.materials = {material};
        scene.items.push_back(std::move(i));
        return scene.items.back();
    }
    /// A continuous lamp of `flux_lm`; its body reflects `body`.
    Light& light(const LampShape& shape, double flux_lm, float body = 0.0F) {
        Light l;
        l.name = "light-" + std::to_string(scene.lights.size());
        l.shape = shape;
        l.fullFlux = flux_lm;
        l.spectrum = cieDaylight(5500.0);
        l.bands = bandXYZ(l.spectrum);
        l.bodyMaterial = matt(body);
        scene.lights.push_back(l);
        return scene.lights.back();
    }
    Probe probe(glm::vec3 at_m, glm::vec3 facing, double radius_m = 0.0) const {
        Probe p;
        p.name = "probe";
        p.at_m = at_m;
        p.facing = glm::normalize(facing);
        p.receptorRadius_m = radius_m;
        return p;
    }
};

/// A solid of glass or liquid; the higher priority wins where two overlap.
inline Material solidGlass(float ior, float roughness = 0.0F, float absorption_perM = 0.0F, int priority = 2) {
    Material m;
    m.base = Base::glass;
    m.ior = ior;
    m.roughness = roughness;
    m.absorption_perM = Bands(absorption_perM);
    m.priority = priority;
    return m;
}

inline LampShape sphereLamp(glm::vec3 centre_m, float diameter_m) {
    LampShape s;
    s.kind = LampKind::sphere;
    s.centre_m = centre_m;
    s.a_m = diameter_m;
    return s;
}

/// A panel facing `normal`.
inline LampShape panelLamp(glm::vec3 centre_m, glm::vec3 normal, float width_m, float height_m) {
    LampShape s;
    s.kind = LampKind::panel;
    s.centre_m = centre_m;
    s.frame = frameAround(glm::normalize(normal));
    s.a_m = width_m;
    s.b_m = height_m;
    return s;
}

/// A rectangle with its front along `normal`, width along frameAround(normal).x.
inline Mesh sheet(glm::vec3 centre_m, glm::vec3 normal, glm::vec2 size_m) {
    return sheetMesh(size_m, centre_m, frameAround(glm::normalize(normal)));
}

/// Illuminance at a probe, lx, with all lights as set: 16 scrambles of `points`.
inline Reading illuminance_lx(const Stage& stage, const Probe& probe, std::uint32_t points,
                              std::uint32_t seed = 1) {
    RunSettings run;
    run.seed = seed;
    run.threads = 2;
    PathCounters counters;
    const ProbeTransfer t = traceProbe(stage, probe, points, 1, run, counters);
    return total(t.layer, mixAsSet(stage.scene(), 1.0));
}

}  // namespace keyfall::test
