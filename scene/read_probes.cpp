// [[probe]]: meter readings and where the meter can stand. Not here: the probes of a file without
// any (defaults_probes.cpp).
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scene/defaults_probes.h"
#include "scene/read_surface.h"
#include "scene/read_worn.h"

namespace keyfall {

namespace {

constexpr double kClearance_m = 0.002;    // contract: an incident probe keeps 2 mm
constexpr double kOnSurface_m = 0.00005;  // nearer than this is "on" it, whichever side

ProbeKind probeKindOf(const Fields& fields) {
    const std::string kind = fields.text("kind");
    if (kind == "dome") return ProbeKind::dome;
    return kind == "spot" ? ProbeKind::spot : ProbeKind::incident;
}

/// Unit direction of the receptor. Empty after a mistake.
std::optional<glm::vec3> facingOf(Draft& draft, const Fields& fields, glm::vec3 at_m) {
    if (!fields.atMostOne({"facing", "normal"}) || fields.bad("facing") || fields.bad("normal"))
        return {};
    if (fields.given("normal")) {
        const glm::dvec3 normal = fields.triple("normal");
        if (glm::length(normal) > 0.0) return glm::vec3(glm::normalize(normal));
        fields.error("normal", {"is [0, 0, 0]", "needed: a direction", "for example [0, 1, 0]"});
        return {};
    }
    if (fields.value("facing")->isText() && fields.text("facing") == "up")
        return glm::vec3(0, 1, 0);
    const auto target = resolveTarget(draft, fields, "facing");
    if (!target) return {};
    const glm::vec3 way = *target - at_m;
    if (glm::length(way) > 1e-6F) return glm::normalize(way);
    fields.error("facing", {"is the probe's own place", "needed: a point elsewhere",
                            "or normal = [x, y, z], a direction"});
    return {};
}

/// on_surface: the first surface of that object seen from the camera through `at`.
bool putOnSurface(Draft& draft, const Fields& fields, Probe& probe) {
    if (!fields.given("on_surface")) return true;
    const Object* object =
        namedObject(draft, fields, "on_surface", "product|block|board|scrim|flag");
    if (object == nullptr) return false;
    if (!object->fields.flag("on")) {
        fields.error("on_surface", {fmt::format("\"{}\" is off", object->name),
                                    "needed: an object on the set",
                                    "write on = true there"});
        return false;
    }
    std::vector<const Item*> items;
    for (const DraftItem& entry : draft.items)
        if (entry.object == object && entry.on) items.push_back(&entry.item);
    const glm::vec3 lens = draft.scene.camera.lens_m;
    const glm::vec3 way = probe.at_m - lens;
    const auto hit =
        glm::length(way) > 0.0F ? firstHit(items, lens, glm::normalize(way)) : std::nullopt;
    if (!hit) {
        fields.error(
            "on_surface",
            {fmt::format("the line from the camera through `at` misses \"{}\"", object->name),
             "needed: an `at` in front of or in it",
             {}});
        return false;
    }
    probe.at_m = hit->at_m;
    probe.onSurface = true;
    probe.onSurfaceItem = object->name;
    return true;
}

bool isFree(const std::vector<const Item*>& items, glm::vec3 at_m) {
    constexpr double kRounding_m = 1e-6;
    for (const Item* item : items)
        if (isInside(item->mesh, at_m)) return false;
    return !nearestSurface(items, at_m, kClearance_m - kRounding_m);
}

/// The nearest place off the solid's skin, or off its box, where a meter fits; "" when none does.
std::string wayOutOf(const Item& solid, const MeshHit& skin, glm::vec3 at_m,
                     const std::vector<const Item*>& items) {
    const auto clearance = static_cast<float>(kClearance_m);
    const glm::vec3 out = (skin.at_m - at_m) / static_cast<float>(skin.distance_m);
    std::vector<glm::vec3> places{skin.at_m + clearance * out};
    const Box3 box = boundsOf(solid.mesh);
    for (int axis = 0; axis < 3; ++axis)
        for (const float side : {box.low[axis] - clearance, box.high[axis] + clearance}) {
            places.push_back(at_m);
            places.back()[axis] = side;
        }
    std::erase_if(places, [&items](glm::vec3 p) { return !isFree(items, p); });
    if (places.empty()) return {};
    const auto nearer = [at_m](glm::vec3 a, glm::vec3 b) {
        return glm::distance(a, at_m) < glm::distance(b, at_m);
    };
    const auto nearest = std::min_element(places.begin(), places.end(), nearer);
    return fmt::format("the nearest free point is {}", shownCm(*nearest));
}

/// Reports a receptor inside a solid, with the nearest place where a meter fits.
bool standsFree(const Fields& fields, const Probe& probe, const std::vector<const Item*>& items) {
    for (const Item* item : items) {
        if (!isInside(item->mesh, probe.at_m)) continue;
        const auto skin = nearestSurface({item}, probe.at_m, HUGE_VAL);
        if (!skin || skin->distance_m <= kOnSurface_m) continue;
        fields.error("at", {fmt::format("lies inside \"{}\"", item->name),
                            "a meter stands outside of solids",
                            wayOutOf(*item, *skin, probe.at_m, items)});
        return false;
    }
    return true;
}

/// Away from the surface: from where it is, or along the front side's normal when it lies on it
/// (of an open sheet: the side that the receptor faces).
glm::vec3 wayOut(const Probe& probe, const MeshHit& skin) {
    const bool within = isInside(skin.item->mesh, probe.at_m);
    if (skin.distance_m > kOnSurface_m && !within)
        return (probe.at_m - skin.at_m) / static_cast<float>(skin.distance_m);
    const bool back = !skin.item->mesh.closed && glm::dot(skin.normal, probe.facing) < 0.0F;
    return back ? -skin.normal : skin.normal;
}

void keepClear(Draft& draft, const Fields& fields, Probe& probe,
               const std::vector<const Item*>& items) {
    constexpr int kTries = 4;             // in a corner each wall pushes once or twice
    constexpr double kRounding_m = 1e-6;  // of float places a few metres out
    std::string pushedBy;
    for (int i = 0; i < kTries; ++i) {
        const auto skin = nearestSurface(items, probe.at_m, kClearance_m - kRounding_m);
        if (!skin) break;
        probe.at_m = skin->at_m + static_cast<float>(kClearance_m) * wayOut(probe, *skin);
        pushedBy = skin->item->name;
    }
    if (pushedBy.empty() || probe.onSurface) return;
    draft.warn(fields.placeOf("at"), "probe-moved",
               fmt::format("{} was nearer than 2 mm to \"{}\" and is moved to {}", fields.label(),
                           pushedBy, shownCm(probe.at_m)));
}

/// A lamp's inside holds no light that a meter could read, and what comes out of a modifier is known
/// from its exit on.
bool standsOutsideLamps(const Draft& draft, const Fields& fields, const Probe& probe) {
    for (std::size_t i = 0; i < draft.scene.lights.size(); ++i) {
        const Light& light = draft.scene.lights[i];
        if (isWithinModifier(draft, i, probe.at_m)) {
            fields.error("at", {fmt::format("lies inside the modifier of \"{}\"", light.name),
                                "a meter stands in front of modifiers",
                                {}});
            return false;
        }
        if (!holds(light.shape, probe.at_m)) continue;
        fields.error("at", {fmt::format("lies inside the lamp of \"{}\"", light.name),
                            "a meter stands outside of lamps",
                            {}});
        return false;
    }
    return true;
}

void readProbe(Draft& draft, Object& object, const std::vector<const Item*>& items) {
    const Fields& fields = object.fields;
    Probe probe;
    probe.name = object.name;
    probe.kind = probeKindOf(fields);
    const auto at = pointOf(draft, object, fields.place());
    if (!at) return;
    probe.at_m = *at;
    if (!putOnSurface(draft, fields, probe)) return;
    if (probe.kind == ProbeKind::spot) {
        probe.spotAngle_rad = glm::radians(fields.number("spot_angle"));
        probe.receptorRadius_m = 0.0;
        if (glm::distance(probe.at_m, draft.scene.camera.lens_m) < 1e-6F)
            fields.error("at",
                         {"is the camera's lens", "a spot reading needs a point away from it", {}});
    } else {
        probe.receptorRadius_m = 0.5 * fields.number("receptor") * kMetresPerCm;
        const auto facing = facingOf(draft, fields, probe.at_m);
        if (!facing) return;
        if (fields.flag("on") && !(standsFree(fields, probe, items) &&
                                   standsOutsideLamps(draft, fields, probe)))
            return;
        probe.facing = *facing;
        if (fields.flag("on")) keepClear(draft, fields, probe, items);
    }
    if (fields.flag("on")) draft.scene.probes.push_back(probe);
}

}  // namespace

void readProbes(Draft& draft) {
    std::vector<const Item*> items;
    for (const DraftItem& entry : draft.items)
        if (entry.on) items.push_back(&entry.item);
    const auto probes = draft.all("probe");
    for (Object* object : probes) readProbe(draft, *object, items);
    if (probes.empty()) addDefaultProbes(draft);
}

}  // namespace keyfall
