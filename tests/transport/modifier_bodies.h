// Small modifiers built by hand, for the laws of the light trace and the bake: shells of revolution and
// boxes. Not here: the library's (scene/modifier_build.h).
#pragma once

#include <cmath>
#include <numbers>
#include <vector>

#include "scene/modifier_body.h"

namespace keyfall::test {

inline Material mattOf(float reflectance) {
    Material m;
    m.name = "matt";
    m.reflectance = Bands(reflectance);
    return m;
}

inline Material metalOf(float reflectance, float roughness) {
    Material m;
    m.name = "metal";
    m.base = Base::metal;
    m.reflectance = Bands(reflectance);
    m.roughness = roughness;
    return m;
}

inline Material skinOf(float transmittance, float reflectance, float straight = 0.0F) {
    Material m;
    m.name = "skin";
    m.base = Base::sheet;
    m.transmittance = Bands(transmittance);
    m.reflectance = Bands(reflectance);
    m.straight = Bands(straight);
    return m;
}

/// Corners of regular polygons on circles of `radius` at height z, joined: a shell of `sides` flat facets
/// a ring. The first corner lies along x. A radius of 0 closes the shell.
inline Mesh shellMesh(const std::vector<glm::vec2>& radiusAndZ, int sides) {
    Mesh mesh;
    for (const glm::vec2& p : radiusAndZ)
        for (int i = 0; i < sides; ++i) {
            const double a = 2.0 * std::numbers::pi * i / sides;
            mesh.position_m.emplace_back(static_cast<float>(static_cast<double>(p.x) * std::cos(a)),
                                         static_cast<float>(static_cast<double>(p.x) * std::sin(a)), p.y);
        }
    const auto n = static_cast<std::uint32_t>(sides);
    for (std::uint32_t r = 0; r + 1 < radiusAndZ.size(); ++r)
        for (std::uint32_t i = 0; i < n; ++i) {
            const std::uint32_t a = r * n + i, b = r * n + (i + 1) % n, c = a + n, d = b + n;
            if (radiusAndZ[r].x > 0.0F) mesh.triangle.push_back({a, b, c});
            if (radiusAndZ[r + 1].x > 0.0F) mesh.triangle.push_back({b, d, c});
        }
    return mesh;
}

inline void addRectangle(Mesh& mesh, glm::vec3 corner, glm::vec3 along, glm::vec3 across) {
    const auto first = static_cast<std::uint32_t>(mesh.position_m.size());
    for (const glm::vec3& p : {corner, corner + along, corner + along + across, corner + across})
        mesh.position_m.push_back(p);
    mesh.triangle.push_back({first, first + 1, first + 2});
    mesh.triangle.push_back({first, first + 2, first + 3});
}

inline void addPart(ModifierBody& body, Mesh mesh, const Material& material) {
    body.materials.push_back(material);
    body.parts.push_back({std::move(mesh), body.materials.size() - 1, false});
}

inline ExitFace discExit(float radius_m, int sides = 256) {
    ExitFace exit;
    exit.shape.kind = LampKind::disc;
    exit.shape.a_m = 2.0F * radius_m;
    exit.sides = sides;
    return exit;
}

inline ExitFace panelExit(float width_m, float height_m) {
    ExitFace exit;
    exit.shape.kind = LampKind::panel;
    exit.shape.a_m = width_m;
    exit.shape.b_m = height_m;
    return exit;
}

/// A bowl with its mouth at z = 0 and a black plate at the back; `profile` from back to mouth.
inline ModifierBody bowlBody(const std::vector<glm::vec2>& profile, const Material& inside, float lampAt_m,
                             Symmetry symmetry = Symmetry::turned, int sides = 256) {
    ModifierBody body;
    body.name = "bowl";
    body.symmetry = symmetry;
    body.lampCentre_m = {0.0F, 0.0F, lampAt_m};
    addPart(body, shellMesh(profile, sides), inside);
    if (profile.front().x > 0.0F)
        addPart(body, shellMesh({{0.0F, profile.front().y}, profile.front()}, sides), mattOf(0.04F));
    body.exits = {discExit(profile.back().x, sides)};
    return body;
}

/// A box open at z = 0, or closed by a sheet half a millimetre behind it.
inline ModifierBody boxBody(glm::vec3 size_m, const Material& wall, const Material* front, float lampAt_m,
                            const Material* baffle = nullptr, float baffleAt_m = 0.0F) {
    ModifierBody body;
    body.name = "box";
    body.symmetry = Symmetry::quarter;
    body.lampCentre_m = {0.0F, 0.0F, lampAt_m};
    const float w = size_m.x, h = size_m.y, d = size_m.z;
    const glm::vec3 low(-0.5F * w, -0.5F * h, -d), x(w, 0, 0), y(0, h, 0), z(0, 0, d);
    Mesh walls;
    addRectangle(walls, low, x, y);
    addRectangle(walls, low, z, x);
    addRectangle(walls, low + y, x, z);
    addRectangle(walls, low, y, z);
    addRectangle(walls, low + x, z, y);
    addPart(body, walls, wall);
    const auto sheetAt = [&](float at_m, const Material& fabric) {
        Mesh mesh;
        addRectangle(mesh, {low.x, low.y, at_m}, x, y);
        addPart(body, mesh, fabric);
    };
    if (front != nullptr) sheetAt(-5e-4F, *front);
    if (baffle != nullptr) sheetAt(baffleAt_m, *baffle);
    body.hidesLamp = (front != nullptr && front->straight.isBlack()) ||
                     (baffle != nullptr && baffle->straight.isBlack());
    body.exits = {panelExit(w, h)};
    return body;
}

}  // namespace keyfall::test
