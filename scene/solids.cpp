// Simple solids as meshes. Not here: reading meshes (obj.h), their measures (mesh.h).
#include "scene/solids.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <utility>

namespace keyfall {
namespace {

constexpr double kPi = std::numbers::pi;

// Chord error of N sides: 1 - cos(pi/N). 256 sides: 7.5e-5 of the radius.
constexpr unsigned kSides = 256;
// A quarter arc of n segments: 1 - cos(pi/4n). 64 segments: 7.5e-5.
constexpr unsigned kArcSegments = 64;
// Six halvings of the icosahedron: 81 920 triangles, chord error 6e-5 of the radius (measured).
constexpr int kHalvings = 6;

std::uint32_t count(const Mesh& mesh) {
    return static_cast<std::uint32_t>(mesh.position_m.size());
}

std::uint32_t addVertex(Mesh& mesh, glm::vec3 p, glm::vec3 n) {
    mesh.position_m.push_back(p);
    mesh.normal.push_back(n);
    return count(mesh) - 1;
}

/// A rectangle with its corners counter-clockwise as seen from its front.
void addQuad(Mesh& mesh, const std::array<glm::vec3, 4>& corner, glm::vec3 normal) {
    const std::uint32_t first = count(mesh);
    for (const glm::vec3& p : corner) addVertex(mesh, p, normal);
    mesh.triangle.push_back({first, first + 1, first + 2});
    mesh.triangle.push_back({first, first + 2, first + 3});
}

/// The six faces of a box, outward: +x -x +y -y +z -z.
void addBox(Mesh& mesh, glm::vec3 low, glm::vec3 high) {
    const glm::vec3 middle = 0.5F * (low + high);
    const glm::vec3 half = 0.5F * (high - low);
    for (int axis = 0; axis < 3; ++axis) {
        for (const float sign : {1.0F, -1.0F}) {
            glm::vec3 n(0.0F), u(0.0F), v(0.0F);
            n[axis] = sign;
            u[(axis + 1) % 3] = sign;  // u x v = n for either sign
            v[(axis + 2) % 3] = 1.0F;
            const auto at = [&](float s, float t) { return middle + half * (n + s * u + t * v); };
            addQuad(mesh, {at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)}, n);
        }
    }
}

glm::vec3 onCircle(unsigned k, double radius, double y) {
    const double a = 2.0 * kPi * (k % kSides) / kSides;
    return {static_cast<float>(radius * std::sin(a)), static_cast<float>(y),
            static_cast<float>(radius * std::cos(a))};
}

void addCap(Mesh& mesh, double radius, double y, bool up) {
    const glm::vec3 n(0.0F, up ? 1.0F : -1.0F, 0.0F);
    const std::uint32_t centre = addVertex(mesh, {0.0F, static_cast<float>(y), 0.0F}, n);
    const std::uint32_t rim = count(mesh);
    for (unsigned k = 0; k < kSides; ++k) addVertex(mesh, onCircle(k, radius, y), n);
    for (unsigned k = 0; k < kSides; ++k) {
        const std::uint32_t a = rim + k, b = rim + (k + 1) % kSides;
        if (up)
            mesh.triangle.push_back({centre, a, b});
        else
            mesh.triangle.push_back({centre, b, a});
    }
}

struct Icosahedron {
    std::vector<glm::dvec3> at;
    std::vector<std::array<std::uint32_t, 3>> face;
};

// Corners (0, +-1, +-golden ratio) and their turns; faces: every triple at distance 2, wound
// outward. Searched instead of listed: a table of 20 triples hides typing errors.
Icosahedron icosahedron() {
    Icosahedron ico;
    for (int axis = 0; axis < 3; ++axis)
        for (const double s : {1.0, -1.0})
            for (const double t : {std::numbers::phi, -std::numbers::phi}) {
                glm::dvec3 p(0.0);
                p[(axis + 1) % 3] = s;
                p[(axis + 2) % 3] = t;
                ico.at.push_back(p);
            }
    const auto near = [&](std::uint32_t a, std::uint32_t b) {
        return glm::distance(ico.at[a], ico.at[b]) < 2.1;
    };
    for (std::uint32_t a = 0; a < 12; ++a)
        for (std::uint32_t b = a + 1; b < 12; ++b)
            for (std::uint32_t c = b + 1; c < 12; ++c) {
                if (!near(a, b) || !near(b, c) || !near(c, a)) continue;
                const glm::dvec3 n = glm::cross(ico.at[b] - ico.at[a], ico.at[c] - ico.at[a]);
                if (glm::dot(n, ico.at[a]) > 0.0)
                    ico.face.push_back({a, b, c});
                else
                    ico.face.push_back({a, c, b});
            }
    for (glm::dvec3& p : ico.at) p = glm::normalize(p);
    return ico;
}

void halve(Icosahedron& ico) {
    std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> middles;
    const auto middle = [&](std::uint32_t a, std::uint32_t b) {
        const auto [it, isNew] = middles.try_emplace({std::min(a, b), std::max(a, b)},
                                                     static_cast<std::uint32_t>(ico.at.size()));
        if (isNew) ico.at.push_back(glm::normalize(ico.at[a] + ico.at[b]));
        return it->second;
    };
    std::vector<std::array<std::uint32_t, 3>> finer;
    finer.reserve(4 * ico.face.size());
    for (const auto& [a, b, c] : ico.face) {
        const std::uint32_t ab = middle(a, b), bc = middle(b, c), ca = middle(c, a);
        for (const std::array<std::uint32_t, 3>& t :
             {std::array{a, ab, ca}, std::array{ab, b, bc}, std::array{ca, bc, c},
              std::array{ab, bc, ca}})
            finer.push_back(t);
    }
    ico.face = std::move(finer);
}

}  // namespace

Mesh boxMesh(glm::vec3 size_m) {
    Mesh mesh;
    addBox(mesh, {-0.5F * size_m.x, 0.0F, -0.5F * size_m.z},
           {0.5F * size_m.x, size_m.y, 0.5F * size_m.z});
    findWhetherClosed(mesh);
    return mesh;
}

Mesh cylinderMesh(float diameter_m, float height_m) {
    Mesh mesh;
    const double radius = 0.5 * static_cast<double>(diameter_m);
    const auto height = static_cast<double>(height_m);
    for (unsigned k = 0; k < kSides; ++k) {
        addVertex(mesh, onCircle(k, radius, 0.0), onCircle(k, 1.0, 0.0));
        addVertex(mesh, onCircle(k, radius, height), onCircle(k, 1.0, 0.0));
    }
    for (unsigned k = 0; k < kSides; ++k) {
        const std::uint32_t a = 2 * k, b = 2 * ((k + 1) % kSides);
        mesh.triangle.push_back({a, b, b + 1});
        mesh.triangle.push_back({a, b + 1, a + 1});
    }
    addCap(mesh, radius, height, true);
    addCap(mesh, radius, 0.0, false);
    findWhetherClosed(mesh);
    return mesh;
}

Mesh sphereMesh(float diameter_m) {
    Icosahedron ico = icosahedron();
    for (int i = 0; i < kHalvings; ++i) halve(ico);
    Mesh mesh;
    const double radius = 0.5 * static_cast<double>(diameter_m);
    for (const glm::dvec3& n : ico.at)
        addVertex(mesh, glm::vec3(radius * (n + glm::dvec3(0, 1, 0))), glm::vec3(n));
    mesh.triangle = std::move(ico.face);
    findWhetherClosed(mesh);
    return mesh;
}

Mesh sheetMesh(glm::vec2 size_m, glm::vec3 centre_m, const Frame& frame) {
    Mesh mesh;
    const glm::vec3 x = 0.5F * size_m.x * frame.x, y = 0.5F * size_m.y * frame.y;
    addQuad(mesh, {centre_m - x - y, centre_m + x - y, centre_m + x + y, centre_m - x + y},
            frame.z);
    return mesh;
}

Mesh sweepMesh(float width_m, float front_m, float back_m, float height_m, float radius_m) {
    struct Station {
        double y, z, normalY, normalZ;
    };
    const double wallZ = -std::abs(static_cast<double>(back_m));
    const auto radius = static_cast<double>(radius_m);
    std::vector<Station> profile{{0.0, static_cast<double>(front_m), 1.0, 0.0}};
    for (unsigned k = 0; k <= kArcSegments; ++k) {
        const double a = 0.5 * kPi * k / kArcSegments;
        profile.push_back({radius * (1.0 - std::cos(a)), wallZ + radius * (1.0 - std::sin(a)),
                           std::cos(a), std::sin(a)});
    }
    profile.push_back({static_cast<double>(height_m), wallZ, 0.0, 1.0});

    Mesh mesh;
    for (const Station& s : profile)
        for (const float x : {-0.5F * width_m, 0.5F * width_m})
            addVertex(mesh, {x, static_cast<float>(s.y), static_cast<float>(s.z)},
                      {0.0F, static_cast<float>(s.normalY), static_cast<float>(s.normalZ)});
    for (std::uint32_t a = 0; a + 3 < count(mesh); a += 2) {
        mesh.triangle.push_back({a, a + 1, a + 3});
        mesh.triangle.push_back({a, a + 3, a + 2});
    }
    return mesh;
}

Mesh roomMesh(float sizeX_m, float sizeZ_m, float height_m, float floorAt_m) {
    Mesh mesh;
    addBox(mesh, {-0.5F * sizeX_m, floorAt_m, -0.5F * sizeZ_m},
           {0.5F * sizeX_m, floorAt_m + height_m, 0.5F * sizeZ_m});
    for (glm::vec3& n : mesh.normal) n = -n;
    for (auto& t : mesh.triangle) std::swap(t[1], t[2]);
    for (std::uint16_t face = 0; face < 6; ++face) {
        const std::uint16_t slot = face == 2 ? 1 : face == 3 ? 2 : 0;  // +y is the ceiling
        mesh.slot.insert(mesh.slot.end(), {slot, slot});
    }
    findWhetherClosed(mesh);
    return mesh;
}

void place(Mesh& mesh, const Frame& frame, glm::vec3 at_m) {
    for (glm::vec3& p : mesh.position_m) p = frame.toWorld(p) + at_m;
    for (glm::vec3& n : mesh.normal) n = frame.toWorld(n);
}

}  // namespace keyfall
