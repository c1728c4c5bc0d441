// Sweeps a rounded profile about the y axis. Not here: the profiles (wares.cpp).
#include "tools/lathe/revolve.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace keyfall::lathe {
namespace {

constexpr double kPi = std::numbers::pi;
// 96 sides on a radius of 4.5 cm: the outline is 24 micrometres inside the circle.
constexpr std::size_t kSides = 96;
// A rounding is that close to its circle, and one step of it turns by at most that much.
constexpr double kChord_cm = 0.001, kStep_rad = 0.30;

struct Station {
    glm::dvec2 at;       ///< radius, height
    glm::dvec2 outward;  ///< unit
    double along = 0.0;  ///< length from the start of the profile
};

glm::dvec2 placeOf(const Knot& k) {
    return {k.radius_cm, k.height_cm};
}

/// The right-hand side of the running direction is outside.
glm::dvec2 outwardOf(glm::dvec2 direction) {
    return {direction.y, -direction.x};
}

// A circle of radius r touches both legs at l = r tan(turn / 2) from the corner.
void addCorner(std::vector<Station>& out, const Knot& before, const Knot& knot, const Knot& after) {
    const glm::dvec2 in = placeOf(knot) - placeOf(before), on = placeOf(after) - placeOf(knot);
    const glm::dvec2 a = glm::normalize(in), b = glm::normalize(on);
    const double turn = std::atan2(a.x * b.y - a.y * b.x, glm::dot(a, b));
    const double reach = 0.49 * std::min(glm::length(in), glm::length(on));
    const double tangent = std::tan(std::abs(turn) / 2.0);
    const double r = std::min(knot.round_cm, tangent > 1e-9 ? reach / tangent : knot.round_cm);
    if (r <= 0.0 || std::abs(turn) < 1e-6) {
        out.push_back({placeOf(knot), outwardOf(a)});
        if (std::abs(turn) >= 1e-6) out.push_back({placeOf(knot), outwardOf(b)});
        return;
    }
    const double side = turn > 0.0 ? 1.0 : -1.0;  // convex corners turn left
    const glm::dvec2 start = placeOf(knot) - a * (r * tangent);
    const glm::dvec2 centre = start - side * r * outwardOf(a);
    // Chord error r step^2 / 8.
    const double step = std::min(kStep_rad, std::sqrt(8.0 * kChord_cm / r));
    const auto steps = static_cast<int>(std::ceil(std::abs(turn) / step));
    for (int i = 0; i <= steps; ++i) {
        const double angle = turn * i / steps;
        const glm::dvec2 direction{a.x * std::cos(angle) - a.y * std::sin(angle),
                                   a.x * std::sin(angle) + a.y * std::cos(angle)};
        out.push_back({centre + side * r * outwardOf(direction), outwardOf(direction)});
    }
}

std::vector<Station> stationsOf(const std::vector<Knot>& profile) {
    std::vector<Station> out;
    const auto straight = [&](std::size_t i) {
        return outwardOf(glm::normalize(placeOf(profile[i + 1]) - placeOf(profile[i])));
    };
    out.push_back({placeOf(profile.front()), straight(0)});
    for (std::size_t i = 1; i + 1 < profile.size(); ++i)
        addCorner(out, profile[i - 1], profile[i], profile[i + 1]);
    out.push_back({placeOf(profile.back()), straight(profile.size() - 2)});
    for (std::size_t i = 1; i < out.size(); ++i)
        out[i].along = out[i - 1].along + glm::distance(out[i].at, out[i - 1].at);
    return out;
}

}  // namespace

Part revolve(const std::string& group, const std::vector<Knot>& profile) {
    Part part{group, {}, {}};
    const std::vector<Station> stations = stationsOf(profile);
    for (const Station& s : stations)
        for (std::size_t k = 0; k <= kSides; ++k) {  // one more: the seam has two values of u
            const double u = static_cast<double>(k) / kSides;
            const double angle = 2.0 * kPi * static_cast<double>(k % kSides) / kSides;
            const double x = std::sin(angle), z = std::cos(angle);
            part.vertex.push_back({{s.at.x * x, s.at.y, s.at.x * z},
                                   {s.outward.x * x, s.outward.y, s.outward.x * z},
                                   {u, s.along / stations.back().along}});
        }
    for (std::size_t i = 0; i + 1 < stations.size(); ++i) {
        if (stations[i].at == stations[i + 1].at) continue;  // the two sides of a sharp corner
        for (std::size_t k = 0; k < kSides; ++k) {
            const std::size_t a = i * (kSides + 1) + k, b = a + kSides + 1;
            if (stations[i].at.x > 0.0) part.triangle.push_back({a, a + 1, b + 1});
            if (stations[i + 1].at.x > 0.0) part.triangle.push_back({a, b + 1, b});
        }
    }
    return part;
}

}  // namespace keyfall::lathe
