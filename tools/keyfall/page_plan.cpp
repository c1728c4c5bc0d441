#include "page_plan.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "json_numbers.h"

namespace keyfall {
namespace {

using Points = std::vector<glm::dvec2>;

double tenths(double x) {
    return std::round(10.0 * x) / 10.0 + 0.0;
}  // + 0: no -0
double cm(float metres) {
    return tenths(100.0 * static_cast<double>(metres));
}

double turn(glm::dvec2 o, glm::dvec2 a, glm::dvec2 b) {
    return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

/// Andrew's monotone chain (Information Processing Letters 9, 1979; from memory).
Points convexHull(Points points) {
    std::sort(points.begin(), points.end(),
              [](glm::dvec2 a, glm::dvec2 b) { return a.x != b.x ? a.x < b.x : a.y < b.y; });
    points.erase(std::unique(points.begin(), points.end()), points.end());
    if (points.size() < 3) return points;
    Points hull;
    const auto chain = [&hull](auto first, auto last) {
        const std::size_t start = hull.size();
        for (auto p = first; p != last; ++p) {
            while (hull.size() >= start + 2 && turn(hull[hull.size() - 2], hull.back(), *p) <= 0.0)
                hull.pop_back();
            hull.push_back(*p);
        }
        hull.pop_back();  // the other chain begins with it
    };
    chain(points.begin(), points.end());
    chain(points.rbegin(), points.rend());
    return hull;
}

glm::dvec2 above(glm::vec3 p) {
    return {cm(p.x), cm(p.z)};
}
glm::dvec2 side(glm::vec3 p) {
    return {cm(p.z), cm(p.y)};
}

Json cornersOf(const Points& points) {
    Json j = Json::array();
    for (const glm::dvec2& p : points) j.push_back({p.x, p.y});
    return j;
}

Json outlines(const std::vector<glm::vec3>& points) {
    Points top, flank;
    for (const glm::vec3& p : points) {
        top.push_back(above(p));
        flank.push_back(side(p));
    }
    return {{"above", cornersOf(convexHull(top))}, {"side", cornersOf(convexHull(flank))}};
}

/// The luminous body: a ball's circle, else the corners of its box.
std::vector<glm::vec3> pointsOf(const LampShape& lamp) {
    std::vector<glm::vec3> points;
    const float a = 0.5F * lamp.a_m, b = 0.5F * lamp.b_m;
    if (lamp.kind == LampKind::sphere) {
        for (int k = 0; k < 24; ++k) {
            const float angle = static_cast<float>(k) * std::numbers::pi_v<float> / 12.0F;
            const float c = a * std::cos(angle), s = a * std::sin(angle);
            points.push_back(lamp.centre_m + glm::vec3(c, 0, s));
            points.push_back(lamp.centre_m + glm::vec3(0, c, s));
        }
        return points;
    }
    glm::vec3 half(a, a, 0.0F);
    if (lamp.kind == LampKind::tube) half = {a, b, b};
    if (lamp.kind == LampKind::ring) half = {a + b, a + b, b};
    if (lamp.kind == LampKind::panel) half = {a, b, 0.0F};
    for (int corner = 0; corner < 8; ++corner)
        points.push_back(lamp.centre_m +
                         lamp.frame.toWorld(half * glm::vec3(corner & 1 ? 1 : -1, corner & 2 ? 1 : -1,
                                                             corner & 4 ? 1 : -1)));
    return points;
}

struct Subject {
    std::string name = "the middle of the set";
    glm::vec3 at_m{0.0F};
};

Subject subjectOf(const Scene& scene) {
    for (const ItemKind kind : {ItemKind::product, ItemKind::block})
        for (const Item& item : scene.items)
            if (item.kind == kind) return {"the middle of " + item.name, boundsOf(item.mesh).middle()};
    return {};
}

Json place(glm::vec3 p) {
    return Json::array({cm(p.x), cm(p.y), cm(p.z)});
}

void putPlace(Json& j, glm::vec3 at_m, const Subject& subject) {
    const glm::dvec3 d = glm::dvec3(at_m) - glm::dvec3(subject.at_m);
    const double flat = std::hypot(d.x, d.z), degrees = 180.0 / std::numbers::pi;
    j["at"] = place(at_m);
    j["angle_deg"] = flat > 1e-4 ? tenths(std::atan2(d.x, d.z) * degrees) : 0.0;
    j["elevation_deg"] = tenths(std::atan2(d.y, flat) * degrees);
    j["distance_cm"] = tenths(glm::length(d) * 100.0);
}

Json thing(const std::string& name, const char* kind, const std::vector<glm::vec3>& points) {
    Json j{{"name", name}, {"kind", kind}};
    j.update(outlines(points));
    return j;
}

Json lightThing(const Scene& scene, std::size_t l, const Subject& subject) {
    const Light& light = scene.lights[l];
    std::vector<glm::vec3> points = pointsOf(light.shape);
    for (const Item& item : scene.items)
        if (item.kind == ItemKind::modifier && item.light == l)
            points.insert(points.end(), item.mesh.position_m.begin(), item.mesh.position_m.end());
    Json j = thing(light.name, "light", points);
    putPlace(j, light.exit_m, subject);
    j["aim"] = place(light.exit_m + static_cast<float>(light.exitDistance_m) * light.axes.z);
    j["on"] = light.on;
    return j;
}

Json cameraThing(const Camera& camera, const Subject& subject) {
    Json j{{"focus_cm", tenths(camera.focusDistance_m * 100.0)}};
    putPlace(j, camera.lens_m, subject);
    const Frame& f = camera.frame;
    const auto reach = static_cast<float>(camera.focusDistance_m);
    // Corners of the field in the focused plane, along one of its axes; the shift moves both alike.
    const auto edge = [&](glm::vec3 axis, double shift_m, double half_m) {
        return camera.lens_m +
               reach * (f.z + static_cast<float>((shift_m + half_m) / camera.focalLength_m) * axis);
    };
    const glm::dvec2 half = 0.5 * camera.sensor_m, shift = camera.shift_m;
    j["view_above"] = cornersOf({above(edge(f.x, shift.x, -half.x)), above(edge(f.x, shift.x, half.x))});
    j["view_side"] = cornersOf({side(edge(f.y, shift.y, -half.y)), side(edge(f.y, shift.y, half.y))});
    return j;
}

/// A sweep is the one surface whose hull hides what it is: it bends inwards.
Json backdropThing(const Item& item) {
    Json j = thing(item.name, nameOf(item.kind), item.mesh.position_m);
    Points profile;
    for (std::size_t i = 0; i < item.mesh.position_m.size(); i += 2)
        profile.push_back(side(item.mesh.position_m[i]));
    if (profile.size() > 2) j["profile"] = cornersOf(profile);
    return j;
}

}  // namespace

nlohmann::ordered_json planJson(const Scene& scene) {
    const Subject subject = subjectOf(scene);
    Json j;
    j["from"] = {{"name", subject.name}, {"at", place(subject.at_m)}};
    j["things"] = Json::array();
    for (const Item& item : scene.items) {
        if (item.kind == ItemKind::room || item.kind == ItemKind::modifier) continue;
        Json t = item.kind == ItemKind::backdrop ? backdropThing(item)
                                                 : thing(item.name, nameOf(item.kind), item.mesh.position_m);
        if (item.kind == ItemKind::board || item.kind == ItemKind::scrim || item.kind == ItemKind::flag) {
            putPlace(t, item.at_m, subject);
            t["size"] = Json::array({cm(item.size_m.x), cm(item.size_m.y)});
        }
        j["things"].push_back(t);
    }
    for (std::size_t l = 0; l < scene.lights.size(); ++l)
        j["things"].push_back(lightThing(scene, l, subject));
    for (const Probe& p : scene.probes) j["probes"].push_back({{"name", p.name}, {"at", place(p.at_m)}});
    if (scene.hasCamera) j["camera"] = cameraThing(scene.camera, subject);
    return j;
}

}  // namespace keyfall
