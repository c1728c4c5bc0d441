// Rays, distances and insides of meshes by plain loops over all triangles.
#include "scene/read_surface.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace keyfall {

namespace {

using Corners = std::array<glm::dvec3, 3>;

Corners cornersOf(const Mesh& mesh, const std::array<std::uint32_t, 3>& t) {
    return {glm::dvec3(mesh.position_m[t[0]]), glm::dvec3(mesh.position_m[t[1]]),
            glm::dvec3(mesh.position_m[t[2]])};
}

glm::vec3 normalOf(const Corners& c) {
    const glm::dvec3 n = glm::cross(c[1] - c[0], c[2] - c[0]);
    const double length = glm::length(n);
    return length > 0.0 ? glm::vec3(n / length) : glm::vec3(0, 1, 0);
}

/// Distance along the ray, or infinity.
double hitDistance(const Corners& c, glm::dvec3 origin, glm::dvec3 direction) {
    constexpr double kMiss = HUGE_VAL;
    const glm::dvec3 e1 = c[1] - c[0], e2 = c[2] - c[0];
    const glm::dvec3 p = glm::cross(direction, e2);
    const double determinant = glm::dot(e1, p);
    if (determinant == 0.0) return kMiss;
    const glm::dvec3 s = origin - c[0];
    const double u = glm::dot(s, p) / determinant;
    if (u < 0.0 || u > 1.0) return kMiss;
    const glm::dvec3 q = glm::cross(s, e1);
    const double v = glm::dot(direction, q) / determinant;
    if (v < 0.0 || u + v > 1.0) return kMiss;
    const double t = glm::dot(e2, q) / determinant;
    return t > 0.0 ? t : kMiss;
}

/// Nearest point of a segment.
glm::dvec3 nearestOnEdge(glm::dvec3 a, glm::dvec3 b, glm::dvec3 p) {
    const glm::dvec3 ab = b - a;
    const double length2 = glm::dot(ab, ab);
    const double t = length2 > 0.0 ? std::clamp(glm::dot(p - a, ab) / length2, 0.0, 1.0) : 0.0;
    return a + t * ab;
}

/// The foot of the perpendicular when it falls into the triangle, else the nearest edge point.
glm::dvec3 nearestOnTriangle(const Corners& c, glm::dvec3 p) {
    const glm::dvec3 n = glm::cross(c[1] - c[0], c[2] - c[0]);
    const double n2 = glm::dot(n, n);
    if (n2 > 0.0) {
        const glm::dvec3 foot = p - glm::dot(p - c[0], n) / n2 * n;
        bool inside = true;
        for (std::size_t i = 0; i < 3; ++i) {
            const glm::dvec3 a = c[i], b = c[(i + 1) % 3];
            inside = inside && glm::dot(glm::cross(b - a, foot - a), n) >= 0.0;
        }
        if (inside) return foot;
    }
    glm::dvec3 best = nearestOnEdge(c[0], c[1], p);
    for (std::size_t i = 1; i < 3; ++i) {
        const glm::dvec3 other = nearestOnEdge(c[i], c[(i + 1) % 3], p);
        if (glm::distance(other, p) < glm::distance(best, p)) best = other;
    }
    return best;
}

/// Lies wholly beyond `reach_m` of the point along one axis: a cheap "no" for nearly all triangles.
bool isBeyond(const Corners& c, glm::dvec3 p, double reach_m) {
    const glm::dvec3 low = glm::min(glm::min(c[0], c[1]), c[2]) - reach_m;
    const glm::dvec3 high = glm::max(glm::max(c[0], c[1]), c[2]) + reach_m;
    return glm::any(glm::lessThan(p, low)) || glm::any(glm::greaterThan(p, high));
}

bool boxIsNear(const Box3& box, glm::vec3 p, double within_m) {
    const auto margin = static_cast<float>(within_m);
    return glm::all(glm::greaterThanEqual(p, box.low - margin)) &&
           glm::all(glm::lessThanEqual(p, box.high + margin));
}

}  // namespace

std::optional<MeshHit> firstHit(const std::vector<const Item*>& items, glm::vec3 origin_m,
                                     glm::vec3 direction) {
    std::optional<MeshHit> best;
    for (const Item* item : items) {
        for (const auto& t : item->mesh.triangle) {
            const Corners c = cornersOf(item->mesh, t);
            const double distance = hitDistance(c, origin_m, direction);
            if (!std::isfinite(distance) || (best && distance >= best->distance_m)) continue;
            best = MeshHit{item, origin_m + static_cast<float>(distance) * direction,
                                normalOf(c), distance};
        }
    }
    return best;
}

std::optional<MeshHit> nearestSurface(const std::vector<const Item*>& items, glm::vec3 point_m,
                                           double within_m) {
    std::optional<MeshHit> best;
    const glm::dvec3 p(point_m);
    for (const Item* item : items) {
        if (std::isfinite(within_m) && !boxIsNear(boundsOf(item->mesh), point_m, within_m))
            continue;
        for (const auto& t : item->mesh.triangle) {
            const Corners c = cornersOf(item->mesh, t);
            if (isBeyond(c, p, best ? best->distance_m : within_m)) continue;
            const glm::dvec3 at = nearestOnTriangle(c, p);
            const double distance = glm::distance(at, p);
            if (distance >= within_m || (best && distance >= best->distance_m)) continue;
            best = MeshHit{item, glm::vec3(at), normalOf(c), distance};
        }
    }
    return best;
}

bool isInside(const Mesh& mesh, glm::vec3 point_m) {
    if (!mesh.closed || !boxIsNear(boundsOf(mesh), point_m, 0.0)) return false;
    double solidAngle_sr = 0.0;
    for (const auto& t : mesh.triangle) {
        Corners c = cornersOf(mesh, t);
        std::array<double, 3> length{};
        for (std::size_t i = 0; i < 3; ++i) {
            c[i] -= glm::dvec3(point_m);
            length[i] = glm::length(c[i]);
        }
        const double volume = glm::dot(c[0], glm::cross(c[1], c[2]));
        const double below = length[0] * length[1] * length[2] + glm::dot(c[0], c[1]) * length[2] +
                             glm::dot(c[1], c[2]) * length[0] + glm::dot(c[2], c[0]) * length[1];
        solidAngle_sr += 2.0 * std::atan2(volume, below);
    }
    return solidAngle_sr > 2.0 * std::numbers::pi;  // half of 4 pi: rounding never matters
}

}  // namespace keyfall
