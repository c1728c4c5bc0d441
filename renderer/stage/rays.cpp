// Ray queries of the Stage: nearest hit, and the shadow test through thin sheets.
#include <pmmintrin.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "renderer/optics/bsdf.h"
#include "renderer/stage/lamp_geometry.h"
#include "renderer/stage/masks.h"
#include "renderer/stage/ray_tape.h"
#include "renderer/stage/stage.h"

namespace keyfall {
namespace {

/// A direction component of exactly 0 makes 0 * inf in the robust node test; 1e-18 does not.
float nudged(float d) { return std::abs(d) < 1e-18F ? 1e-18F : d; }

template <class Ray>
void setRay(Ray& ray, glm::vec3 o, glm::vec3 d, float nearM, float farM, unsigned mask) {
    // In two stores of 16 bytes: the kernel loads them so, and a load that spans several smaller
    // stores has to wait for them (Embree 3 manual, performance recommendations).
    _mm_store_ps(&ray.org_x, _mm_setr_ps(o.x, o.y, o.z, nearM));
    _mm_store_ps(&ray.dir_x, _mm_setr_ps(nudged(d.x), nudged(d.y), nudged(d.z), 0.0F));
    ray.tfar = farM;
    ray.mask = mask;
    ray.id = 0;
    ray.flags = 0;
}

QueryContext context(std::uint32_t ignoredEmitter) {
    QueryContext c;
    rtcInitIntersectContext(&c.base);
    c.ignoredEmitter = ignoredEmitter;
    return c;
}

std::optional<RayHit> nearest(RTCScene scene, glm::vec3 o, glm::vec3 d, float nearM, float farM,
                              unsigned mask) {
    QueryContext c = context(kNoEmitter);
    RTCRayHit r;
    setRay(r.ray, o, d, nearM, farM, mask);
    r.hit.geomID = RTC_INVALID_GEOMETRY_ID;
    r.hit.instID[0] = RTC_INVALID_GEOMETRY_ID;
    rtcIntersect1(scene, &c.base, &r);
    if (r.hit.geomID == RTC_INVALID_GEOMETRY_ID) return {};
    return RayHit{r.ray.tfar, r.hit.geomID, r.hit.primID,
                  r.hit.u,    r.hit.v,      {r.hit.Ng_x, r.hit.Ng_y, r.hit.Ng_z}};
}

/// A sheet is met at a slant, too, where rounding moves the hit by much more than its depth.
constexpr float kReachOfSheet = 1.0F - 1e-4F;

/// Where a shadow ray ends when nothing stands at its target: as near as rounding allows. A door stands half a
/// millimetre before its exit.
constexpr float kReachOfNothing = 1.0F - 1e-6F;

/// Where a shadow ray ends, short of its target: the target itself does not count. By 20 um, as much as an
/// origin is moved at most, or by some 80 units in the last place of what is far; close by, by a small part of
/// the way. More would let light pass what stands right in front of a distant lamp, as a shut barn door.
float shadowReach_m(glm::vec3 from_m, float distance_m) {
    const float largest_m = std::max({std::abs(from_m.x), std::abs(from_m.y), std::abs(from_m.z), distance_m});
    return distance_m - std::min(1e-4F * distance_m, std::max(20e-6F, 1e-5F * largest_m));
}

float reach_m(Stage::Target target, glm::vec3 from_m, float distance_m) {
    switch (target) {
        case Stage::Target::lamp: return shadowReach_m(from_m, distance_m);
        case Stage::Target::sheet: return distance_m * kReachOfSheet;
        case Stage::Target::exit: break;
    }
    return distance_m * kReachOfNothing;
}

}  // namespace

std::optional<RayHit> Stage::intersect(glm::vec3 origin_m, glm::vec3 direction, float near_m) const {
    if (tape_ != nullptr) [[unlikely]]
        tape_->nearest(origin_m, direction, near_m, std::numeric_limits<float>::infinity(), kEverything);
    return nearest(embree_.get(), origin_m, direction, near_m,
                   std::numeric_limits<float>::infinity(), kEverything);
}

bool Stage::throughSheets(glm::vec3 from_m, glm::vec3 direction, float distance_m,
                          std::uint32_t ignoredEmitter, Bands& through, std::uint64_t& rays,
                          Target target) const {
    QueryContext c = context(ignoredEmitter);
    RTCRay ray;
    const float far_m = reach_m(target, from_m, distance_m);
    setRay(ray, from_m, direction, 0.0F, far_m, kSolidMask | kLampMask);
    ++rays;
    if (tape_ != nullptr) [[unlikely]]
        tape_->shadow(from_m, direction, far_m, ray.mask, ignoredEmitter);
    rtcOccluded1(embree_.get(), &c.base, &ray);
    if (ray.tfar < 0.0F) return false;
    if (!anySheets_) return true;

    float near_m = 0.0F;
    for (;;) {
        ++rays;
        if (tape_ != nullptr) [[unlikely]]
            tape_->nearest(from_m, direction, near_m, far_m, kSheetMask);
        const auto hit = nearest(embree_.get(), from_m, direction, near_m, far_m, kSheetMask);
        if (!hit) return true;
        const float cosine = std::abs(glm::dot(glm::normalize(hit->geometricNormal), direction));
        through *= straightTransmittance(materialAt(*hit), cosine);
        if (through.isBlack()) return false;
        // Past this sheet: the next representable distances, as offsetOrigin does for origins.
        near_m = hit->distance_m + std::max(hit->distance_m * 1e-6F, 1e-6F);
    }
}

glm::vec3 Stage::offsetOrigin(glm::vec3 p, glm::vec3 n) {
    // Rounding of a hit point grows with its coordinates: 256 units in the last place of each, but
    // at least 1 um (small coordinates still carry the triangle's own rounding) and at most 20 um.
    constexpr float kUlps = 256.0F * 1.1920929e-7F;
    const float largest = std::max({std::abs(p.x), std::abs(p.y), std::abs(p.z)});
    return p + n * std::clamp(largest * kUlps, 1e-6F, 20e-6F);
}

}  // namespace keyfall
