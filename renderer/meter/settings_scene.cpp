#include "renderer/meter/settings_scene.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "renderer/meter/jackknife.h"
#include "renderer/meter/settings_needs.h"
#include "renderer/photograph/noise.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

/// Depth along the axis of all items of a kind, metres from the lens.
std::optional<glm::dvec2> depthOf(const Scene& scene, ItemKind kind) {
    glm::dvec2 range(std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity());
    for (const Item& item : scene.items) {
        if (item.kind != kind) continue;
        for (const glm::vec3& p : item.mesh.position_m) {
            const auto depth_m = static_cast<double>(glm::dot(p - scene.camera.lens_m, scene.camera.frame.z));
            range = {std::min(range.x, depth_m), std::max(range.y, depth_m)};
        }
    }
    // What lies at the lens or behind it cannot be sharp, and is as a rule not looked at.
    range.x = std::max(range.x, 1.01 * scene.camera.focalLength_m);
    if (range.y < range.x) return {};
    return range;
}

bool hasKind(const Scene& scene, ItemKind kind) {
    return std::any_of(scene.items.begin(), scene.items.end(), [kind](const Item& i) { return i.kind == kind; });
}

double converterAtBase_e(const Scene& scene) {
    Camera camera = scene.camera;
    camera.iso = {camera.electronics.baseIso, camera.electronics.baseIso};
    return sensorAsSet(camera).converter_e;
}

double greyAtIso100_e(const Scene& scene, glm::dvec3 white) {
    Camera camera = scene.camera;
    camera.iso = {100.0, 100.0};
    return electronsAtPicture(camera, whiteSpectrum(camera, scene.lights, white), kMidGrey).y;
}

SettingsLight lampAt(const Light& light, const LightShare& share, bool moves) {
    SettingsLight s;
    s.name = light.name;
    s.kind = light.kind;
    s.atFull = light.kind == LightKind::flash ? share.exposure : share.continuous;
    s.atFull *= std::exp2(-light.power_stops);
    s.power_stops = light.power_stops;
    s.moves = moves;
    s.lowest_stops = light.lowestPower_stops;
    s.step_stops = light.powerStep_stops;
    s.t05_s = light.t05_s;
    s.t05Lowest_s = light.t05Lowest_s;
    s.fullFlux = light.fullFlux;
    s.distance_m = light.exitDistance_m;
    return s;
}

SettingsLight steadyAt(const LightShare& share) {
    SettingsLight s;
    s.name = share.light;
    s.kind = LightKind::continuous;
    s.atFull = share.continuous;
    s.moves = false;
    return s;
}

}  // namespace

const ProbeReading* settingsProbe(const std::vector<ProbeReading>& readings, const std::string& name) {
    if (!name.empty()) {
        const auto found = std::find_if(readings.begin(), readings.end(),
                                        [&](const ProbeReading& r) { return r.name == name; });
        return found != readings.end() ? &*found : nullptr;
    }
    for (const ProbeKind kind : {ProbeKind::incident, ProbeKind::dome})
        for (const ProbeReading& r : readings)
            if (r.probe->kind == kind) return &r;
    return nullptr;
}

std::optional<glm::dvec2> seenSubject_m(const Scene& scene, const VisiblePicture& seen) {
    const ItemKind kind = hasKind(scene, ItemKind::product) ? ItemKind::product : ItemKind::block;
    glm::dvec2 range(std::numeric_limits<double>::infinity(), 0.0);
    for (std::size_t p = 0; p < seen.object.size(); ++p) {
        const Item* item = itemOf(scene, seen.object[p]);
        if (item == nullptr || item->kind != kind) continue;
        const auto depth_m = static_cast<double>(seen.depth_m[p]);
        range = {std::min(range.x, depth_m), std::max(range.y, depth_m)};
    }
    if (!(range.y >= range.x)) return {};
    return range;
}

SettingsInput settingsInput(const Scene& scene, const ProbeReading& reading, glm::dvec3 white,
                            const std::vector<std::string>& move) {
    SettingsInput input;
    input.camera = scene.camera;
    input.limits = scene.limits;
    input.probe = reading.probe->kind;
    input.motion_mps = scene.motion_mps;
    input.greyAtIso100_e = greyAtIso100_e(scene, white);
    input.converterAtBase_e = converterAtBase_e(scene);
    input.subject_m = depthOf(scene, ItemKind::product);
    if (!input.subject_m) input.subject_m = depthOf(scene, ItemKind::block);
    for (std::size_t l = 0; l < reading.byLight.size(); ++l) {
        const LightShare& share = reading.byLight[l];
        if (l >= scene.lights.size()) {
            input.lights.push_back(steadyAt(share));
            continue;
        }
        const Light& light = scene.lights[l];
        const bool moves = move.empty() || std::find(move.begin(), move.end(), light.name) != move.end();
        if (light.strength() > 0.0) input.lights.push_back(lampAt(light, share, moves));
    }
    return input;
}

Measured stopsOverOf(const SettingsInput& input, const Setting& s) {
    return jackknife([&](int leftOut) { return LightAtProbe(input, leftOut).stopsOver(s); });
}

Measured meterApertureOf(const SettingsInput& input, const Setting& s) {
    return jackknife([&](int leftOut) { return LightAtProbe(input, leftOut).meterAperture(s); });
}

std::optional<Measured> ambientOf(const SettingsInput& input, const Setting& s) {
    if (!s.costs.ambient_stops) return {};
    return jackknife([&](int leftOut) {
        const LightAtProbe light(input, leftOut);
        return std::log2(light.continuous(s.power_stops) * s.shutter_s.exact / light.flash(s.power_stops));
    });
}

Measured shortOf(const SettingsInput& input, std::size_t need) {
    const double power_stops = lampNeeds(input).at(need).power_stops;
    const Measured power = jackknife([&](int leftOut) {
        const auto needs = lampNeeds(input, leftOut);
        return need < needs.size() ? needs[need].power_stops : power_stops;
    });
    const auto cut = [](double stops) { return std::max(0.0, stops); };
    return {cut(power.value), {cut(power.interval95.low), cut(power.interval95.high)}};
}

}  // namespace keyfall
