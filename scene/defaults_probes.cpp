// front, lit-side, shadow-side, background.
#include "scene/defaults_probes.h"

#include <algorithm>
#include <glm/gtc/constants.hpp>

#include "scene/read_surface.h"

namespace keyfall {

namespace {

constexpr float kClearance_m = 0.002F;
constexpr float kBeside_m = 0.005F;
constexpr double kReceptor_m = 0.01;  // radius; contract: a disc of 2 cm
constexpr double kSpot_rad = glm::pi<double>() / 180.0;

struct Subject {
    const Item* item = nullptr;
    Box3 box;
};

std::optional<Subject> subjectOf(const Draft& draft) {
    for (const ItemKind kind : {ItemKind::product, ItemKind::block})
        for (const DraftItem& entry : draft.items)
            if (entry.item.kind == kind && entry.on)
                return Subject{&entry.item, boundsOf(entry.item.mesh)};
    return {};
}

Probe incidentProbe(const char* name, glm::vec3 at_m, glm::vec3 facing) {
    Probe probe;
    probe.name = name;
    probe.at_m = at_m;
    probe.facing = facing;
    probe.receptorRadius_m = kReceptor_m;
    return probe;
}

std::vector<const Item*> othersThan(const Draft& draft, const Item* subject) {
    std::vector<const Item*> others;
    for (const DraftItem& entry : draft.items)
        if (entry.on && &entry.item != subject) others.push_back(&entry.item);
    return others;
}

/// `wanted_m`, or half the gap to what stands closer to the skin than twice that.
float clearanceAt(const Draft& draft, const Subject& subject, glm::vec3 skin_m, glm::vec3 outward,
                  float wanted_m) {
    constexpr float kWithin_m = 1e-5F;  // the ray starts inside the skin: what touches it counts
    const auto hit =
        firstHit(othersThan(draft, subject.item), skin_m - kWithin_m * outward, outward);
    if (!hit) return wanted_m;
    return std::clamp(0.5F * (static_cast<float>(hit->distance_m) - kWithin_m), 0.0F, wanted_m);
}

/// Toward the lens; against the view where the lens is at that very point.
glm::vec3 towardLens(const Camera& camera, glm::vec3 from_m) {
    const glm::vec3 way = camera.lens_m - from_m;
    return glm::length(way) > 1e-6F ? glm::normalize(way) : -camera.frame.z;
}

/// The middle of the box, moved out along the line to the camera to the product's surface.
Probe frontProbe(const Draft& draft, const Subject& subject) {
    const glm::vec3 lens = draft.scene.camera.lens_m;
    const glm::vec3 toCamera = towardLens(draft.scene.camera, subject.box.middle());
    glm::vec3 at = subject.box.middle();
    if (const auto hit = firstHit({subject.item}, lens, -toCamera)) {
        const bool away = glm::dot(hit->normal, toCamera) < 0.0F;
        const glm::vec3 outward = away ? -hit->normal : hit->normal;
        at = hit->at_m + clearanceAt(draft, subject, hit->at_m, outward, kClearance_m) * outward;
    }
    return incidentProbe("front", at, towardLens(draft.scene.camera, at));
}

/// Half the product's height, 5 mm outside it along `outward`, facing outward.
glm::vec3 besideProduct(const Draft& draft, const Subject& subject, glm::vec3 outward) {
    const glm::vec3 half = 0.5F * subject.box.size();
    const float reach = glm::dot(glm::abs(outward), half);
    const glm::vec3 far = subject.box.middle() + (2.0F * reach + kBeside_m) * outward;
    const auto hit = firstHit({subject.item}, far, -outward);
    const glm::vec3 skin = hit ? hit->at_m : subject.box.middle() + reach * outward;
    return skin + clearanceAt(draft, subject, skin, outward, kBeside_m) * outward;
}

/// What cuts light and has few triangles: cards, flags, blocks.
std::vector<const Item*> cutters(const Draft& draft) {
    std::vector<const Item*> list;
    for (const DraftItem& entry : draft.items)
        if (entry.on && (entry.item.kind == ItemKind::board || entry.item.kind == ItemKind::flag ||
                         entry.item.kind == ItemKind::block))
            list.push_back(&entry.item);
    return list;
}

/// Flux as set; of a lamp known by a figure with a modifier the one that would give it bare.
double roughFlux(const Light& light) {
    if (!light.rating) return light.fluxAsSet();
    const Rating& r = *light.rating;
    const double intensity = r.isIntensity ? r.value : r.value * r.distance_m * r.distance_m;
    return 4.0 * glm::pi<double>() * intensity * r.gelFactor * light.strength();
}

/// Direct luminous exposure by inverse square and cosine, as from points, up to a factor; only to
/// tell the sides apart.
double directLight(const Draft& draft, glm::vec3 at_m, glm::vec3 facing) {
    const std::vector<const Item*> between = cutters(draft);
    double sum = 0.0;
    for (const Light& light : draft.scene.lights) {
        const glm::dvec3 way(light.exit_m - at_m);
        const double distance = std::max(glm::length(way), 1e-6);
        const double cosine = glm::dot(way, glm::dvec3(facing)) / distance;
        if (cosine <= 0.0) continue;
        const auto hit = firstHit(between, at_m, glm::vec3(way / distance));
        if (hit && hit->distance_m < distance) continue;
        const bool flash = light.kind == LightKind::flash;
        const double seconds = flash ? 1.0 : draft.scene.camera.shutter_s.exact;
        sum += roughFlux(light) * seconds * cosine / (distance * distance);
    }
    return sum;
}

/// Left and right as the camera sees them, level.
glm::vec3 rightward(const Draft& draft) {
    const glm::vec3 x = draft.scene.camera.frame.x;
    const glm::vec3 level(x.x, 0.0F, x.z);
    return glm::length(level) > 1e-3F ? glm::normalize(level) : glm::vec3(1, 0, 0);
}

/// Tangents of the angles from the camera's axis, right and up.
glm::vec2 tangents(const Camera& camera, glm::vec3 point_m) {
    const glm::vec3 local = camera.frame.toLocal(point_m - camera.lens_m);
    const float depth = std::max(local.z, 1e-6F);
    return {local.x / depth, local.y / depth};
}

/// A spot halfway between the product's top and the frame's top, above its middle. The sensor
/// stands at v = f s / (s - f), so the frame's top is at the tangent (height/2 + shift) / v.
Probe backgroundProbe(const Draft& draft, const Subject& subject) {
    const Camera& camera = draft.scene.camera;
    const double f = camera.focalLength_m, s = camera.focusDistance_m;
    const double sensorDistance_m = s > f ? f * s / (s - f) : f;
    const auto height = static_cast<float>(camera.sensor_m.y / sensorDistance_m);
    const float frameTop = 0.5F * height + static_cast<float>(camera.shift_m.y / sensorDistance_m);
    float productTop = -1e9F;
    for (int corner = 0; corner < 4; ++corner) {
        const glm::vec3 p((corner & 1) != 0 ? subject.box.high.x : subject.box.low.x,
                          subject.box.high.y,
                          (corner & 2) != 0 ? subject.box.high.z : subject.box.low.z);
        productTop = std::max(productTop, tangents(camera, p).y);
    }
    constexpr float kUnderTop = 0.02F;  // of the height, where the product fills the frame
    const float up = std::min(0.5F * (productTop + frameTop), frameTop - kUnderTop * height);
    const float right = tangents(camera, subject.box.middle()).x;
    const glm::vec3 direction =
        glm::normalize(camera.frame.z + up * camera.frame.y + right * camera.frame.x);
    std::vector<const Item*> items;
    for (const DraftItem& entry : draft.items)
        if (entry.on) items.push_back(&entry.item);
    const auto hit = firstHit(items, camera.lens_m, direction);
    Probe probe;
    probe.name = "background";
    probe.kind = ProbeKind::spot;
    probe.receptorRadius_m = 0.0;
    probe.spotAngle_rad = kSpot_rad;
    probe.at_m = hit ? hit->at_m : camera.lens_m + 2.0F * static_cast<float>(s) * direction;
    return probe;
}

}  // namespace

void addDefaultProbes(Draft& draft) {
    const auto subject = subjectOf(draft);
    if (!subject) return;
    const glm::vec3 right = rightward(draft);
    const glm::vec3 atRight = besideProduct(draft, *subject, right),
                    atLeft = besideProduct(draft, *subject, -right);
    const bool rightIsLit =
        directLight(draft, atRight, right) >= directLight(draft, atLeft, -right);
    auto& probes = draft.scene.probes;
    probes.push_back(frontProbe(draft, *subject));
    probes.push_back(
        incidentProbe("lit-side", rightIsLit ? atRight : atLeft, rightIsLit ? right : -right));
    probes.push_back(
        incidentProbe("shadow-side", rightIsLit ? atLeft : atRight, rightIsLit ? -right : right));
    probes.push_back(backgroundProbe(draft, *subject));
    draft.scene.probesAreDefault = true;
    for (const Probe& probe : probes)
        draft.recordDefault("probe." + probe.name + ".at", shownCm(probe.at_m));
}

}  // namespace keyfall
