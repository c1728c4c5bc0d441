// Straight rays through a modifier's surfaces by plain loops in double precision, and a walk that
// bounces about in it. Not here: any check of a particular shape.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <optional>
#include <random>

#include "scene/library.h"
#include "scene/library_modifiers.h"
#include "scene/modifier_build.h"
#include "scene/read_toml.h"

namespace keyfall::test {

inline const Library& shipped() {
    static const Library library = readLibrary();
    return library;
}

inline ModifierModel modifier(const std::string& text) {
    return modifierFrom("test", std::get<Value>(parseToml(text, "test.toml")));
}

inline ModifierBody built(const ModifierModel& model, const LampShape& lamp) {
    return buildModifier(model, lamp, shipped().materials, shipped().fabrics);
}
inline ModifierBody built(const std::string& text, const std::string& lamp = "flash-bulb") {
    return built(modifier(text), shipped().lamps.at(lamp).shape);
}

struct Crossing {
    double distance_m = std::numeric_limits<double>::infinity();
    glm::dvec3 normal{0.0};
    const ModifierPart* part = nullptr;
};

/// Moeller and Trumbore 1997; edges belong to both of their triangles.
inline std::optional<double> crosses(const glm::dvec3& a, const glm::dvec3& b, const glm::dvec3& c,
                                     const glm::dvec3& from, const glm::dvec3& way) {
    const glm::dvec3 ab = b - a, ac = c - a, p = glm::cross(way, ac);
    const double det = glm::dot(ab, p);
    if (std::abs(det) < 1e-18) return {};
    const glm::dvec3 s = from - a, q = glm::cross(s, ab);
    const double u = glm::dot(s, p) / det, v = glm::dot(way, q) / det;
    if (u < -1e-9 || v < -1e-9 || u + v > 1.0 + 1e-9) return {};
    const double t = glm::dot(ac, q) / det;
    return t > 0.0 ? std::optional(t) : std::nullopt;
}

/// Parts in front of the exit are left out; with `opaque` the thin sheets, too.
inline Crossing firstHit(const ModifierBody& body, glm::dvec3 from, glm::dvec3 way, bool opaque) {
    Crossing first;
    for (const ModifierPart& part : body.parts) {
        if (part.outside || (opaque && body.materials[part.material].base == Base::sheet)) continue;
        for (const auto& t : part.mesh.triangle) {
            const glm::dvec3 a(part.mesh.position_m[t[0]]), b(part.mesh.position_m[t[1]]),
                c(part.mesh.position_m[t[2]]);
            const auto at = crosses(a, b, c, from, way);
            if (at && *at < first.distance_m)
                first = {*at, glm::normalize(glm::cross(b - a, c - a)), &part};
        }
    }
    return first;
}

/// How many exits the ray crosses on its way, outward and inward.
inline int exitsCrossed(const ModifierBody& body, glm::dvec3 from, glm::dvec3 way,
                        double before_m) {
    int count = 0;
    for (const ExitFace& exit : body.exits) {
        const Frame& f = exit.shape.frame;
        const glm::dvec3 z(f.z), offset = glm::dvec3(exit.shape.centre_m) - from;
        const double t = glm::dot(offset, z) / glm::dot(way, z);
        if (!(t > 0.0 && t < before_m)) continue;
        const glm::dvec3 at = t * way - offset;
        count +=
            isOpen(exit, {glm::dot(at, glm::dvec3(f.x)), glm::dot(at, glm::dvec3(f.y))}) ? 1 : 0;
    }
    return count;
}

class Chance {
  public:
    explicit Chance(unsigned seed) : engine_(seed) {}
    double part() { return std::uniform_real_distribution<double>()(engine_); }
    glm::dvec3 direction() {
        const double z = 2.0 * part() - 1.0, angle = 6.283185307179586 * part(),
                     r = std::sqrt(1.0 - z * z);
        return {r * std::cos(angle), r * std::sin(angle), z};
    }

  private:
    std::mt19937 engine_;
};

/// Rays start in the lamp's middle and turn at random where they meet something, sheets included.
/// Each must end in a surface or cross one exit, and nothing of the modifier after it.
struct Walks {
    int left = 0;     ///< through an exit
    int leaked = 0;   ///< away without one
    int again = 0;    ///< met an exit or a surface after leaving
    int between = 0;  ///< came between a shell and its outside
};

/// The black outside of a shell: it reaches farther back than everything else.
inline const ModifierPart* outsideOf(const ModifierBody& body) {
    const auto lower = [](const ModifierPart& a, const ModifierPart& b) {
        return boundsOf(a.mesh).low.z < boundsOf(b.mesh).low.z;
    };
    return &*std::min_element(body.parts.begin(), body.parts.end(), lower);
}

inline Walks walk(const ModifierBody& body, int count, int bounces) {
    Chance chance(7U);
    const ModifierPart* outside = outsideOf(body);
    Walks walks;
    for (int k = 0; k < count; ++k) {
        glm::dvec3 at(body.lampCentre_m), way = chance.direction();
        for (int bounce = 0; bounce < bounces; ++bounce) {
            const Crossing hit = firstHit(body, at, way, false);
            const int exits = exitsCrossed(body, at, way, hit.distance_m);
            if (exits > 0) {
                ++walks.left;
                if (exits > 1 || hit.part != nullptr) ++walks.again;
                break;
            }
            if (hit.part == nullptr) {
                ++walks.leaked;
                break;
            }
            walks.between += hit.part == outside ? 1 : 0;
            const bool sheet = body.materials[hit.part->material].base == Base::sheet;
            const double side = glm::dot(hit.normal, way) < 0.0 ? 1.0 : -1.0;
            const double onward = sheet && chance.part() < 0.5 ? -side : side;
            at += hit.distance_m * way + 1e-8 * onward * hit.normal;
            way = chance.direction();
            if (glm::dot(way, hit.normal) * onward < 0.0) way = -way;
        }
    }
    return walks;
}

/// Rays from all sides: what they meet without crossing an exit first is black. Returns how many do
/// not.
inline int notBlackFromOutside(const ModifierBody& body, int count) {
    Chance chance(11U);
    Box3 box;
    for (const ModifierPart& part : body.parts)
        for (const glm::vec3& p : part.mesh.position_m) box.add(p);
    int wrong = 0;
    for (int k = 0; k < count; ++k) {
        const glm::dvec3 target =
            glm::dvec3(box.low) +
            glm::dvec3(box.size()) * glm::dvec3(chance.part(), chance.part(), chance.part());
        const glm::dvec3 from = target + 5.0 * chance.direction(),
                         way = glm::normalize(target - from);
        const Crossing hit = firstHit(body, from, way, false);
        if (hit.part == nullptr || exitsCrossed(body, from, way, hit.distance_m) > 0) continue;
        if (body.materials[hit.part->material].reflectance[7] != 0.04F) ++wrong;
    }
    return wrong;
}

}  // namespace keyfall::test
