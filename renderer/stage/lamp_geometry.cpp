// Embree callbacks for lamps: exact spheres, cylinders, rings and discs instead of facets, so that
// a sampled direction and a traced ray agree on the very same body.
#include "renderer/stage/lamp_geometry.h"

#include <algorithm>
#include <cmath>
#include <new>

namespace keyfall {
namespace {

/// Half extents of the body along its own axes.
glm::vec3 halfExtents(const LampShape& s) {
    switch (s.kind) {
        case LampKind::sphere: return glm::vec3(0.5F * s.a_m);
        case LampKind::tube: return {0.5F * s.a_m, 0.5F * s.b_m, 0.5F * s.b_m};
        case LampKind::ring: return {0.5F * (s.a_m + s.b_m), 0.5F * (s.a_m + s.b_m), 0.5F * s.b_m};
        case LampKind::disc: return {0.5F * s.a_m, 0.5F * s.a_m, 0.0F};
        case LampKind::panel: return {0.5F * s.a_m, 0.5F * s.b_m, 0.0F};
    }
    return glm::vec3(0.0F);
}

void bounds(const RTCBoundsFunctionArguments* args) {
    const auto& emitters = *static_cast<const std::vector<Emitter>*>(args->geometryUserPtr);
    const LampShape& s = emitters[args->primID].shape;
    const glm::vec3 h = halfExtents(s);
    // 1e-5 m of slack: a flat lamp still has a box, and rounding stays inside it.
    const glm::vec3 e = glm::abs(s.frame.x) * h.x + glm::abs(s.frame.y) * h.y +
                        glm::abs(s.frame.z) * h.z + glm::vec3(1e-5F);
    RTCBounds& b = *args->bounds_o;
    b.lower_x = s.centre_m.x - e.x;
    b.lower_y = s.centre_m.y - e.y;
    b.lower_z = s.centre_m.z - e.z;
    b.upper_x = s.centre_m.x + e.x;
    b.upper_y = s.centre_m.y + e.y;
    b.upper_z = s.centre_m.z + e.z;
}

/// True when the line of a ray stays outside the lamp's bounding sphere. The kernel does not test
/// the box of a lone primitive, so every ray of a scene with one lamp comes by here.
bool passesBy(const Emitter& e, glm::vec3 origin_m, glm::vec3 direction) {
    // The cross product, not |to|^2 - along^2: that loses a small far lamp to cancellation.
    const glm::vec3 aside = glm::cross(e.centre_m - origin_m, direction);
    return glm::dot(aside, aside) > e.boundingRadius_m * e.boundingRadius_m;
}

std::optional<LampHit> meet(void* user, const RTCIntersectContext* context, unsigned prim,
                            const RTCRay& ray) {
    const auto& emitters = *static_cast<const std::vector<Emitter>*>(user);
    if (reinterpret_cast<const QueryContext*>(context)->ignoredEmitter == prim) return {};
    const glm::vec3 origin_m{ray.org_x, ray.org_y, ray.org_z};
    const glm::vec3 direction{ray.dir_x, ray.dir_y, ray.dir_z};
    if (passesBy(emitters[prim], origin_m, direction)) return {};
    return intersectLamp(emitters[prim].shape, origin_m, direction, ray.tnear, ray.tfar);
}

void intersect(const RTCIntersectFunctionNArguments* args) {
    if (args->N != 1 || args->valid[0] == 0) return;
    auto* rayHit = reinterpret_cast<RTCRayHit*>(args->rayhit);
    const auto hit = meet(args->geometryUserPtr, args->context, args->primID, rayHit->ray);
    if (!hit) return;
    rayHit->ray.tfar = hit->distance_m;
    rayHit->hit.Ng_x = hit->normal.x;
    rayHit->hit.Ng_y = hit->normal.y;
    rayHit->hit.Ng_z = hit->normal.z;
    rayHit->hit.u = hit->emits ? 1.0F : 0.0F;
    rayHit->hit.v = 0.0F;
    rayHit->hit.primID = args->primID;
    rayHit->hit.geomID = args->geomID;
    rayHit->hit.instID[0] = args->context->instID[0];
}

void occluded(const RTCOccludedFunctionNArguments* args) {
    if (args->N != 1 || args->valid[0] == 0) return;
    auto* ray = reinterpret_cast<RTCRay*>(args->ray);
    if (meet(args->geometryUserPtr, args->context, args->primID, *ray))
        ray->tfar = -std::numeric_limits<float>::infinity();
}

}  // namespace

float boundingRadius_m(const LampShape& shape) { return glm::length(halfExtents(shape)) + 1e-5F; }

std::uint32_t attachLamps(RTCDevice device, RTCScene scene, const std::vector<Emitter>& emitters,
                          unsigned mask) {
    const GeometryHandle geometry(rtcNewGeometry(device, RTC_GEOMETRY_TYPE_USER));
    if (geometry == nullptr) throw std::bad_alloc();
    rtcSetGeometryUserPrimitiveCount(geometry.get(), static_cast<unsigned>(emitters.size()));
    rtcSetGeometryUserData(geometry.get(), const_cast<std::vector<Emitter>*>(&emitters));
    rtcSetGeometryBoundsFunction(geometry.get(), bounds, nullptr);
    rtcSetGeometryIntersectFunction(geometry.get(), intersect);
    rtcSetGeometryOccludedFunction(geometry.get(), occluded);
    rtcSetGeometryMask(geometry.get(), mask);
    rtcCommitGeometry(geometry.get());
    return rtcAttachGeometry(scene, geometry.get());
}

}  // namespace keyfall
