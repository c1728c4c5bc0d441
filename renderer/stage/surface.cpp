// From a hit to a surface point: position, normals, the smooth surface behind the facets.
#include <algorithm>
#include <cmath>

#include "renderer/stage/stage.h"

namespace keyfall {
namespace {

/// Unit `v`, or `fallback` where v has no length.
glm::vec3 unitOr(glm::vec3 v, glm::vec3 fallback) {
    const float length = glm::length(v);
    return length > 1e-20F ? v / length : fallback;
}

/// Shading frame: z the normal; x along the texture's u where there is one, else level around the
/// vertical, as brushing on a turned piece runs.
Frame shadingFrame(glm::vec3 normal, glm::vec3 tangent) {
    Frame f;
    f.z = normal;
    const glm::vec3 level = glm::cross(glm::vec3(0, 1, 0), normal);
    const glm::vec3 wanted = tangent - normal * glm::dot(tangent, normal);
    const glm::vec3 across = unitOr(wanted, unitOr(level, glm::vec3(1, 0, 0)));
    f.x = unitOr(across - normal * glm::dot(across, normal), frameAround(normal).x);
    f.y = glm::cross(f.z, f.x);
    return f;
}

/// The corners of a triangle and the weights of a point in it.
struct Corners {
    const std::array<std::uint32_t, 3>& at;
    float w[3];

    template <class T>
    T mix(const T* value) const {
        return w[0] * value[at[0]] + w[1] * value[at[1]] + w[2] * value[at[2]];
    }
};

/// dP/du of a triangle's texture map; 0 where it has none or is degenerate.
glm::vec3 textureTangent(const glm::vec3* position_m, const glm::vec2* uv, const Corners& c) {
    if (uv == nullptr) return glm::vec3(0.0F);
    const glm::vec2 a = uv[c.at[1]] - uv[c.at[0]];
    const glm::vec2 b = uv[c.at[2]] - uv[c.at[0]];
    const float det = a.x * b.y - a.y * b.x;
    if (std::abs(det) < 1e-20F) return glm::vec3(0.0F);
    const glm::vec3 p = position_m[c.at[1]] - position_m[c.at[0]];
    const glm::vec3 q = position_m[c.at[2]] - position_m[c.at[0]];
    return (b.y * p - a.y * q) / det;
}

/// From the facet to the smooth surface its vertex normals stand for (towards the normals'
/// side). Shadow rays start there, so facets do not shade themselves near the terminator.
/// Source: Hanika, "Hacking the Shadow Terminator", Ray Tracing Gems II (2021), ch. 4.
glm::vec3 liftOf(const glm::vec3* position_m, const glm::vec3* normal, const Corners& c, glm::vec3 p,
                 float side) {
    glm::vec3 lift(0.0F);
    for (std::size_t i = 0; i < 3; ++i) {
        const glm::vec3 n = side * normal[c.at[i]];
        const float below = std::min(0.0F, glm::dot(p - position_m[c.at[i]], n));
        lift -= c.w[i] * below * n;
    }
    return lift;
}

}  // namespace

SurfacePoint Stage::surfaceOfLamp(const RayHit& hit, glm::vec3 origin_m, glm::vec3 direction) const {
    const Emitter& e = emitters_[hit.primitive];
    SurfacePoint s;
    s.position_m = origin_m + hit.distance_m * direction;
    const float side = glm::dot(hit.geometricNormal, direction) < 0.0F ? 1.0F : -1.0F;
    s.geometricNormal = side * hit.geometricNormal;
    s.shading = frameAround(s.geometricNormal);
    s.material = &scene_.materials[e.bodyMaterial];
    s.emitter = s.ownLight = hit.primitive;
    s.emits = hit.u > 0.5F;
    return s;
}

SurfacePoint Stage::surfaceAt(const RayHit& hit, glm::vec3 origin_m, glm::vec3 direction) const {
    if (hit.geometry == lampGeometry_) return surfaceOfLamp(hit, origin_m, direction);
    const ItemTraits& item = traits_[hit.geometry];
    const Material& material = materialAt(hit);
    const Corners corners{item.triangle[hit.primitive], {1.0F - hit.u - hit.v, hit.u, hit.v}};
    const glm::vec3 position_m = corners.mix(item.position_m);

    const bool solidGlass = material.base == Base::glass && !material.thin;
    const glm::vec3 outward = glm::normalize(hit.geometricNormal);
    const bool entering = glm::dot(outward, direction) < 0.0F;
    // Solid glass keeps its outward normal (the medium stack needs it); everything else has two
    // equal sides and turns the viewer's one up.
    const float side = solidGlass || entering ? 1.0F : -1.0F;
    const glm::vec3 ng = side * outward;
    glm::vec3 ns = ng;
    glm::vec3 lift_m(0.0F);
    if (item.normal != nullptr) {
        ns = unitOr(side * corners.mix(item.normal), ng);
        // A shading normal that turns away from the viewer, or from its own facet, says nothing.
        const bool seenFromAbove = glm::dot(ng, direction) < 0.0F;
        const bool shadedFromAbove = glm::dot(ns, direction) < 0.0F;
        if (seenFromAbove != shadedFromAbove || glm::dot(ns, ng) <= 0.0F) ns = ng;
        else if (!solidGlass) lift_m = liftOf(item.position_m, item.normal, corners, position_m, side);
    }
    const Frame shading = material.anisotropy > 0.0F
                              ? shadingFrame(ns, textureTangent(item.position_m, item.uv, corners))
                              : frameAround(ns);
    const glm::vec2 uv = item.uv == nullptr ? glm::vec2(0.0F) : corners.mix(item.uv);
    // All at once: filling a cleared struct field by field took longer than the arithmetic.
    return {position_m,    ng,        shading,  lift_m,          uv,             &material, hit.geometry,
            kNoEmitter,    item.ownLight, false, entering, item.isRoomWall, item.isProduct, item.board,
            item.scrim};
}

}  // namespace keyfall
