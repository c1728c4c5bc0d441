// Outlines, bands and parts of modifiers. Not here: any particular shape (modifier_build_*.cpp).
#include "scene/modifier_build_parts.h"

#include <cmath>
#include <numbers>

namespace keyfall::modifiers {
namespace {

constexpr double kPi = std::numbers::pi;

std::uint32_t addVertex(Mesh& mesh, glm::dvec2 p, double z_m) {
    mesh.position_m.emplace_back(glm::dvec3(p, z_m));
    return static_cast<std::uint32_t>(mesh.position_m.size() - 1);
}

void addTriangle(Mesh& mesh, std::uint32_t a, std::uint32_t b, std::uint32_t c) {
    const auto& p = mesh.position_m;
    if (p[a] == p[b] || p[b] == p[c] || p[c] == p[a]) return;
    mesh.triangle.push_back({a, b, c});
}

constexpr const char* kBlackName = "matt black";  // with a space: no definition has this name

Material blackPaint() {
    Material black;
    black.name = kBlackName;
    black.reflectance = Bands(0.04F);
    black.source = "common practice, no source: matt black 0.03-0.06";
    return black;
}

}  // namespace

// Area of a regular polygon: N/2 r^2 sin(2 pi/N) = pi R^2   =>   r = R sqrt((2 pi/N) / sin(2
// pi/N)).
double cornerRadius_m(double radius_m) {
    const double step = 2.0 * kPi / kSides;
    return radius_m * std::sqrt(step / std::sin(step));
}

Polygon roundOutline(double radius_m) {
    const double corner = cornerRadius_m(radius_m);
    Polygon polygon;
    for (int k = 0; k < kSides; ++k) {
        const double angle = 2.0 * kPi * k / kSides;
        polygon.emplace_back(corner * std::cos(angle), corner * std::sin(angle));
    }
    return polygon;
}

Polygon boxOutline(glm::dvec2 opening_m, Outline outline) {
    const glm::dvec2 half = 0.5 * opening_m;
    if (outline == Outline::round) return roundOutline(half.x);
    if (outline == Outline::rectangle) return {half, {-half.x, half.y}, -half, {half.x, -half.y}};
    Polygon polygon;
    const double corner = 1.0 / std::cos(kPi / 8.0);
    for (int k = 0; k < 8; ++k) {
        const double angle = (2 * k + 1) * kPi / 8.0;
        polygon.push_back(half * corner * glm::dvec2(std::cos(angle), std::sin(angle)));
    }
    return polygon;
}

// Corner c between sides with outward normals n and m moves by (n + m) / (1 + n.m) * by: its
// product with either normal is `by`.
Polygon grown(const Polygon& polygon, double by_m) {
    const std::size_t count = polygon.size();
    const auto normal = [&](std::size_t k) {
        const glm::dvec2 side = polygon[(k + 1) % count] - polygon[k % count];
        return glm::normalize(glm::dvec2(side.y, -side.x));
    };
    Polygon larger;
    for (std::size_t k = 0; k < count; ++k) {
        const glm::dvec2 n = normal(k + count - 1), m = normal(k);
        larger.push_back(polygon[k] + by_m / (1.0 + glm::dot(n, m)) * (n + m));
    }
    return larger;
}

void addBand(Mesh& mesh, const Polygon& from, double fromZ_m, const Polygon& to, double toZ_m) {
    const auto first = static_cast<std::uint32_t>(mesh.position_m.size());
    const auto count = static_cast<std::uint32_t>(from.size());
    for (const glm::dvec2& p : from) addVertex(mesh, p, fromZ_m);
    for (const glm::dvec2& p : to) addVertex(mesh, p, toZ_m);
    for (std::uint32_t k = 0; k < count; ++k) {
        const std::uint32_t a = first + k, b = first + (k + 1) % count;
        addTriangle(mesh, a, b, b + count);
        addTriangle(mesh, a, b + count, a + count);
    }
}

void addCap(Mesh& mesh, const Polygon& polygon, double z_m) {
    const std::uint32_t middle = addVertex(mesh, glm::dvec2(0.0), z_m);
    const auto count = static_cast<std::uint32_t>(polygon.size());
    for (const glm::dvec2& p : polygon) addVertex(mesh, p, z_m);
    for (std::uint32_t k = 0; k < count; ++k)
        addTriangle(mesh, middle, middle + 1 + k, middle + 1 + (k + 1) % count);
}

Mesh& Builder::part(const Material& material, bool outside) {
    body.materials.push_back(material);
    body.parts.push_back({{}, body.materials.size() - 1, outside});
    return body.parts.back().mesh;
}

Mesh& Builder::black(bool outside) {
    std::size_t index = 0;
    while (index < body.materials.size() && body.materials[index].name != kBlackName) ++index;
    if (index == body.materials.size()) body.materials.push_back(blackPaint());
    body.parts.push_back({{}, index, outside});
    return body.parts.back().mesh;
}

}  // namespace keyfall::modifiers
