// What every mesh out of readObj has to hold, and where test meshes lie. Not here: cases.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <functional>
#include <string>

#include "scene/obj.h"

namespace keyfall::test {

inline const float kCrease_rad = 0.6981317F;  ///< 40 degrees, the contract's `smooth`

inline std::filesystem::path goodObj(const std::string& name) {
    return std::filesystem::path(KEYFALL_TESTS) / "good_obj" / name;
}
inline std::filesystem::path badObj(const std::string& name) {
    return std::filesystem::path(KEYFALL_TESTS) / "bad" / "obj" / name;
}

/// obj.h, "Guarantees": indices in range, numbers finite, normals unit, tables of one length.
inline bool keepsGuarantees(const ObjFile& obj) {
    const Mesh& m = obj.mesh;
    const auto finite = [](glm::vec3 p) {
        return std::isfinite(p.x) && std::isfinite(p.y) && std::isfinite(p.z);
    };
    const auto unit = [](glm::vec3 n) { return std::abs(glm::length(n) - 1.0F) < 1e-5F; };
    const std::size_t slots = obj.slotName.size();
    return !m.triangle.empty() && m.normal.size() == m.position_m.size() &&
           (m.uv.empty() || m.uv.size() == m.position_m.size()) &&
           m.slot.size() == m.triangle.size() && obj.slotGroup.size() == slots &&
           obj.slotMaterial.size() == slots && obj.slotHasMaterial.size() == slots &&
           std::all_of(m.position_m.begin(), m.position_m.end(), finite) &&
           std::all_of(m.normal.begin(), m.normal.end(), unit) &&
           std::all_of(m.slot.begin(), m.slot.end(), [&](auto s) { return s < slots; }) &&
           std::all_of(m.triangle.begin(), m.triangle.end(), [&](const auto& t) {
               return std::max({t[0], t[1], t[2]}) < m.position_m.size();
           });
}

/// The normal that a corner should have, from its place and the middle of its triangle.
using NormalTruth = std::function<glm::dvec3(glm::dvec3 corner, glm::dvec3 middle)>;

inline double largestNormalError_deg(const Mesh& m, const NormalTruth& truth) {
    double worst_rad = 0.0;
    for (const auto& t : m.triangle) {
        const glm::dvec3 middle = (glm::dvec3(m.position_m[t[0]]) + glm::dvec3(m.position_m[t[1]]) +
                                   glm::dvec3(m.position_m[t[2]])) /
                                  3.0;
        for (const std::uint32_t i : t) {
            const glm::dvec3 want = truth(glm::dvec3(m.position_m[i]), middle);
            const glm::dvec3 have(m.normal[i]);
            worst_rad = std::max(
                worst_rad, std::atan2(glm::length(glm::cross(want, have)), glm::dot(want, have)));
        }
    }
    return glm::degrees(worst_rad);
}

/// The outward axis of the cube face that a triangle with this middle lies in.
inline glm::dvec3 axisOf(glm::dvec3 fromCentre) {
    glm::dvec3 axis(0.0);
    int largest = 0;
    for (int k = 1; k < 3; ++k)
        if (std::abs(fromCentre[k]) > std::abs(fromCentre[largest])) largest = k;
    axis[largest] = fromCentre[largest] > 0.0 ? 1.0 : -1.0;
    return axis;
}

}  // namespace keyfall::test
