// Lamps that stand in something: refused with the centre in a solid, a warning where the body cuts a surface.
// Not here: probes (read_probes.cpp), what a lamp wears (read_worn.cpp).
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "scene/read_draft.h"
#include "scene/read_surface.h"

namespace keyfall {

namespace {

/// Less than this is touching: a lamp may lie on a table.
constexpr double kTouching_m = 0.0001;

/// A lamp's body as balls of one radius about these points, all within the body; flat lamps: radius 0.
struct Balls {
    std::vector<glm::vec3> at_m;
    float radius_m = 0.0F;
};

void addCircle(Balls& balls, float radius_m) {
    constexpr int kPoints = 24;
    for (int k = 0; k < kPoints; ++k) {
        const float angle = 2.0F * std::numbers::pi_v<float> * static_cast<float>(k) / kPoints;
        balls.at_m.push_back({radius_m * std::cos(angle), radius_m * std::sin(angle), 0.0F});
    }
}

/// Over [-half, half] of the lamp's x and y.
void addGrid(Balls& balls, glm::vec2 half_m) {
    constexpr int kSteps = 8;
    for (int i = -kSteps; i <= kSteps; ++i)
        for (int k = -kSteps; k <= kSteps; ++k)
            if (half_m.y > 0.0F || k == 0)
                balls.at_m.push_back({half_m.x * static_cast<float>(i) / kSteps,
                                      half_m.y * static_cast<float>(k) / kSteps, 0.0F});
}

Balls ballsOf(const LampShape& lamp) {
    Balls balls;
    balls.at_m.push_back(glm::vec3(0.0F));
    if (lamp.kind == LampKind::sphere) balls.radius_m = 0.5F * lamp.a_m;
    if (lamp.kind == LampKind::tube) {
        balls.radius_m = 0.5F * std::min(lamp.a_m, lamp.b_m);
        addGrid(balls, {0.5F * lamp.a_m - balls.radius_m, 0.0F});
    }
    if (lamp.kind == LampKind::ring) {
        balls = {{}, 0.5F * lamp.b_m};
        addCircle(balls, 0.5F * lamp.a_m);
    }
    if (lamp.kind == LampKind::disc)
        for (const float share : {0.25F, 0.5F, 0.75F, 1.0F}) addCircle(balls, 0.5F * share * lamp.a_m);
    if (lamp.kind == LampKind::panel) addGrid(balls, {0.5F * lamp.a_m, 0.5F * lamp.b_m});
    for (glm::vec3& p : balls.at_m) p = lamp.centre_m + lamp.frame.toWorld(p);
    return balls;
}

/// How far the body reaches beyond the surface: of a ball as deep as its skin goes; of what lies behind the
/// surface as seen from the lamp's centre (not a ring's, which is empty) as deep as it lies under it.
double overlap_m(const LampShape& lamp, const Balls& balls, const Item& item) {
    double most_m = 0.0;
    const auto radius_m = static_cast<double>(balls.radius_m);
    for (const glm::vec3& p : balls.at_m) {
        if (const auto skin = nearestSurface({&item}, p, radius_m))
            most_m = std::max(most_m, radius_m - skin->distance_m);
        const auto length_m = static_cast<double>(glm::distance(p, lamp.centre_m));
        if (lamp.kind == LampKind::ring || length_m <= kTouching_m) continue;
        const auto hit = firstHit({&item}, lamp.centre_m, (p - lamp.centre_m) / static_cast<float>(length_m));
        if (hit && hit->distance_m < length_m)
            most_m = std::max(most_m, static_cast<double>(std::abs(glm::dot(p - hit->at_m, hit->normal))));
    }
    return most_m;
}

bool isNear(const Balls& balls, const Box3& box) {
    Box3 body;
    for (const glm::vec3& p : balls.at_m) body.add(p - balls.radius_m), body.add(p + balls.radius_m);
    return glm::all(glm::lessThanEqual(body.low, box.high)) &&
           glm::all(glm::lessThanEqual(box.low, body.high));
}

Place placeOfLight(const Fields& fields) {
    return fields.given("at")       ? fields.placeOf("at")
           : fields.given("around") ? fields.placeOf("around")
                                    : fields.place();
}

void keepFree(Draft& draft, const Fields& fields, const LampShape& lamp, const Balls& balls, const Item& item) {
    if (isInside(item.mesh, lamp.centre_m) && lamp.kind != LampKind::ring) {
        draft.messages().error(placeOfLight(fields),
                               {fmt::format("{}: the lamp lies inside \"{}\"", fields.label(), item.name),
                                "a lamp stands outside of solids", "move it away"});
        return;
    }
    const double cut_m = overlap_m(lamp, balls, item);
    if (cut_m > kTouching_m)
        draft.warn(
            placeOfLight(fields), "lamp-in-surface",
            fmt::format(
                "{}: its lamp reaches {:.2g} cm into \"{}\"; no lamp can stand like that, and readings "
                "of it are of no use",
                fields.label(), cut_m / kMetresPerCm, item.name));
}

}  // namespace

void keepLampsFree(Draft& draft) {
    std::vector<Balls> balls;
    for (const Light& light : draft.scene.lights) balls.push_back(ballsOf(light.shape));
    for (const DraftItem& entry : draft.items) {
        const bool placed = entry.object == nullptr || entry.object->state == Object::State::placed;
        if (!entry.on || !placed || entry.item.kind == ItemKind::room ||
            entry.item.kind == ItemKind::modifier)
            continue;
        const Box3 box = boundsOf(entry.item.mesh);
        for (std::size_t l = 0; l < balls.size(); ++l) {
            const Light& light = draft.scene.lights[l];
            if (light.on && isNear(balls[l], box))
                keepFree(draft, draft.find(light.name)->fields, light.shape, balls[l], entry.item);
        }
    }
}

}  // namespace keyfall
