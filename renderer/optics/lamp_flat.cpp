// What disc and panel share: a plane with one or two lit faces; and the disc itself.
// Not here: the panel's sampling (lamp_panel.cpp).
#include "renderer/optics/lamp_flat.h"

namespace keyfall::lamps {

std::optional<PlaneHit> meetPlane(const LocalRay& ray, double near, double far) {
    if (ray.direction.z == 0.0) return std::nullopt;
    const double t = -ray.origin.z / ray.direction.z;
    if (!(t > near && t < far)) return std::nullopt;
    return PlaneHit{t, ray.origin.x + t * ray.direction.x, ray.origin.y + t * ray.direction.y};
}

LampHit hitFace(const LampShape& lamp, const LocalRay& ray, double t) {
    const bool front = ray.direction.z < 0.0;
    return {static_cast<float>(t), front ? lamp.frame.z : -lamp.frame.z, front || lamp.bothSides};
}

std::optional<LampSample> sampleFlat(const LampView& v, glm::dvec3 offset, double perArea) {
    const double height = std::fabs(offset.z);
    const double d2 = glm::dot(offset, offset);
    if (height <= 0.0) return std::nullopt;
    return finish(v, offset, perArea * d2 * std::sqrt(d2) / height);
}

namespace {

double radius_m(const LampShape& lamp) { return 0.5 * static_cast<double>(lamp.a_m); }

std::optional<LampHit> intersect(const LampShape& lamp, const LocalRay& ray, double near,
                                 double far) {
    const double r = radius_m(lamp);
    const std::optional<PlaneHit> p = meetPlane(ray, near, far);
    if (!p || p->x * p->x + p->y * p->y >= r * r) return std::nullopt;
    return hitFace(lamp, ray, p->t);
}

enum K { kX, kY, kZ, kPerArea };

// The solid angle is estimated as the smaller of its area as a point and the on-axis cone.
void view(LampView& v) {
    const glm::dvec3 local = localPoint(*v.lamp, v.point_m);
    if (local.z == 0.0 || (local.z < 0.0 && !v.lamp->bothSides)) return;
    const double r = radius_m(*v.lamp);
    const double h = std::fabs(local.z);
    const double d2 = glm::dot(local, local);
    for (int i = 0; i < 3; ++i) v.k[kX + i] = local[i];
    v.k[kPerArea] = 1.0 / (kPi * r * r);
    v.solidAngle_sr = static_cast<float>(std::fmin(kPi * r * r * h / (d2 * std::sqrt(d2)),
                                                   2.0 * kPi * (1.0 - h / std::sqrt(h * h + r * r))));
    v.technique = 1;
}

std::optional<LampSample> sample(const LampView& v, glm::dvec2 u) {
    const glm::dvec2 p = radius_m(*v.lamp) * unitDisk(u);
    return sampleFlat(v, {p.x - v.k[kX], p.y - v.k[kY], -v.k[kZ]}, v.k[kPerArea]);
}

double pdf(const LampView& v, glm::vec3 direction, const LampHit& hit) {
    return flatPerSr(direction, hit, v.k[kPerArea]);
}

double area(const LampShape& lamp) {
    return kPi * radius_m(lamp) * radius_m(lamp) * (lamp.bothSides ? 2.0 : 1.0);
}

}  // namespace

const Shape kDisc{intersect, view, sample, pdf, area};

}  // namespace keyfall::lamps
