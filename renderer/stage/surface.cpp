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

/// dP/du of a triangle's texture map; 0 where it has none or is degenerate.
glm::vec3 textureTangent(const Mesh& mesh, const std::array<std::uint32_t, 3>& t) {
    if (mesh.uv.empty()) return glm::vec3(0.0F);
    const glm::vec2 a = mesh.uv[t[1]] - mesh.uv[t[0]];
    const glm::vec2 b = mesh.uv[t[2]] - mesh.uv[t[0]];
    const float det = a.x * b.y - a.y * b.x;
    if (std::abs(det) < 1e-20F) return glm::vec3(0.0F);
    const glm::vec3 p = mesh.position_m[t[1]] - mesh.position_m[t[0]];
    const glm::vec3 q = mesh.position_m[t[2]] - mesh.position_m[t[0]];
    return (b.y * p - a.y * q) / det;
}

/// From the facet to the smooth surface its vertex normals stand for (towards the normals'
/// side). Shadow rays start there, so facets do not shade themselves near the terminator.
/// Source: Hanika, "Hacking the Shadow Terminator", Ray Tracing Gems II (2021), ch. 4.
glm::vec3 liftOf(const Mesh& mesh, const std::array<std::uint32_t, 3>& t, glm::vec3 p,
                 const float (&w)[3], float side) {
    glm::vec3 lift(0.0F);
    for (int i = 0; i < 3; ++i) {
        const std::uint32_t corner = t[static_cast<std::size_t>(i)];
        const glm::vec3 n = side * mesh.normal[corner];
        const float below = std::min(0.0F, glm::dot(p - mesh.position_m[corner], n));
        lift -= w[i] * below * n;
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
    s.emitter = hit.primitive;
    s.emits = hit.u > 0.5F;
    return s;
}

SurfacePoint Stage::surfaceAt(const RayHit& hit, glm::vec3 origin_m, glm::vec3 direction) const {
    if (hit.geometry == lampGeometry_) return surfaceOfLamp(hit, origin_m, direction);
    const Item& item = scene_.items[hit.geometry];
    const Mesh& mesh = item.mesh;
    const auto& t = mesh.triangle[hit.primitive];
    const float w[3] = {1.0F - hit.u - hit.v, hit.u, hit.v};

    SurfacePoint s;
    s.item = hit.geometry;
    s.board = traits_[hit.geometry].board;
    s.isProduct = item.kind == ItemKind::product;
    s.isRoomWall = item.kind == ItemKind::room;
    const std::size_t slot = mesh.slot.empty() ? 0 : mesh.slot[hit.primitive];
    s.material = &scene_.materials[item.materials[slot]];
    s.position_m = w[0] * mesh.position_m[t[0]] + w[1] * mesh.position_m[t[1]] +
                   w[2] * mesh.position_m[t[2]];
    if (!mesh.uv.empty()) s.uv = w[0] * mesh.uv[t[0]] + w[1] * mesh.uv[t[1]] + w[2] * mesh.uv[t[2]];

    const bool solidGlass = s.material->base == Base::glass && !s.material->thin;
    const glm::vec3 ng = glm::normalize(hit.geometricNormal);
    s.entering = glm::dot(ng, direction) < 0.0F;
    // Solid glass keeps its outward normal (the medium stack needs it); everything else has two
    // equal sides and turns the viewer's one up.
    const float side = solidGlass || s.entering ? 1.0F : -1.0F;
    s.geometricNormal = side * ng;
    glm::vec3 ns = s.geometricNormal;
    if (!mesh.normal.empty()) {
        ns = unitOr(side * (w[0] * mesh.normal[t[0]] + w[1] * mesh.normal[t[1]] +
                            w[2] * mesh.normal[t[2]]), s.geometricNormal);
        // A shading normal that turns away from the viewer, or from its own facet, says nothing.
        const bool seenFromAbove = glm::dot(s.geometricNormal, direction) < 0.0F;
        const bool shadedFromAbove = glm::dot(ns, direction) < 0.0F;
        if (seenFromAbove != shadedFromAbove || glm::dot(ns, s.geometricNormal) <= 0.0F)
            ns = s.geometricNormal;
        else if (!solidGlass)
            s.lift_m = liftOf(mesh, t, s.position_m, w, side);
    }
    const bool stretched = s.material->anisotropy > 0.0F;
    s.shading = stretched ? shadingFrame(ns, textureTangent(mesh, t)) : frameAround(ns);
    return s;
}

}  // namespace keyfall
