// A brass scoop: a sheet over an outline, bent and thickened. Not here: turned wares (wares.cpp).
#include <algorithm>
#include <cmath>
#include <numbers>

#include "tools/lathe/wares.h"

namespace keyfall::lathe {
namespace {

constexpr double kLength = 16.0;
constexpr double kHalfThickness = 0.075;
constexpr double kBowlMiddle = 2.75, kBowlHalfLength = 2.75, kBowlHalfWidth = 1.75;
constexpr double kBowlDepth = 0.95;
constexpr std::size_t kAlong = 144, kAcross = 24, kRound = 10;

double smoothStep(double from, double to, double x) {
    const double t = std::clamp((x - from) / (to - from), 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

/// Half the width of the sheet at `x` from the bowl's tip: an oval, a waist, a widening handle with
/// a round end. The fourth-power mean gives the waist a fillet where a maximum would give a notch.
double halfWidth(double x) {
    const double q = (x - kBowlMiddle) / kBowlHalfLength;
    const double bowl = kBowlHalfWidth * std::sqrt(std::max(0.0, 1.0 - q * q));
    const double round = 0.65;
    const double fromEnd = std::clamp((x - (kLength - round)) / round, 0.0, 1.0);
    const double handle = (0.32 + 0.33 * smoothStep(6.0, 15.0, x)) * smoothStep(3.0, 5.5, x) *
                          std::sqrt(1.0 - fromEnd * fromEnd);
    return std::pow(std::pow(bowl, 4.0) + std::pow(handle, 4.0), 0.25);
}

/// Height of the middle of the sheet. The backbone rises over the neck and comes down to the table;
/// the bowl sinks below it; the handle is a little rounded across.
double height(double x, double z) {
    const double backbone = 0.95 + 0.42 * smoothStep(1.5, 8.0, x) - 1.28 * smoothStep(7.0, 16.6, x);
    const double q = (x - kBowlMiddle) / kBowlHalfLength, s = z / kBowlHalfWidth;
    const double inside = std::max(0.0, 1.0 - q * q - s * s);
    const double dish = kBowlDepth * inside * inside / (inside + 0.20) * 1.20;
    return backbone - dish - 0.22 * z * z * smoothStep(5.0, 7.5, x);
}

glm::dvec3 onSheet(double x, double z) {
    return {x, height(x, z), z};
}

glm::dvec3 sheetNormal(double x, double z) {
    const double d = 1e-4;
    return glm::normalize(glm::dvec3(-(height(x + d, z) - height(x - d, z)) / (2 * d), 1.0,
                                     -(height(x, z + d) - height(x, z - d)) / (2 * d)));
}

/// Stations crowd at both ends, where the outline turns quickly.
double stationAt(std::size_t i) {
    return 0.5 * kLength * (1.0 - std::cos(std::numbers::pi * static_cast<double>(i) / kAlong));
}

/// From -1 to exactly +1, steps at the ends under half of those in the middle.
double acrossAt(std::size_t j) {
    if (2 * j > kAcross) return -acrossAt(kAcross - j);
    const double t = 2.0 * static_cast<double>(j) / kAcross - 1.0;
    return 0.5 * t + 0.5 * std::sin(0.5 * std::numbers::pi * t);
}

struct RimPoint {
    double x, z;
};

/// The outline once around, counter-clockwise seen from above: out along +z, back along -z.
std::vector<RimPoint> outline() {
    std::vector<RimPoint> rim;
    for (std::size_t i = 0; i <= kAlong; ++i)
        rim.push_back({stationAt(i), halfWidth(stationAt(i))});
    rim.front().z = rim.back().z = 0.0;
    for (std::size_t i = kAlong - 1; i >= 1; --i) rim.push_back({rim[i].x, -rim[i].z});
    return rim;
}

class SpoonBuilder {
  public:
    Part build() {
        part_.group = "spoon";
        addFace(1.0);
        addFace(-1.0);
        addRim();
        layDown();
        return std::move(part_);
    }

  private:
    /// The upper (+1) or under (-1) face: a grid that narrows to one point at each end.
    void addFace(double side) {
        const std::size_t first = part_.vertex.size();
        for (std::size_t i = 0; i <= kAlong; ++i) {
            const double x = stationAt(i);
            const double half = i == 0 || i == kAlong ? 0.0 : halfWidth(x);
            for (std::size_t j = 0; j <= kAcross; ++j) {
                // Crowded at the rim, where the bowl bends; mirrored exactly, to meet the rim.
                const double s = acrossAt(j);
                add(x, s * half, side * sheetNormal(x, s * half), x / kLength);
            }
        }
        for (std::size_t i = 0; i < kAlong; ++i)
            for (std::size_t j = 0; j < kAcross; ++j) {
                const std::size_t a = first + i * (kAcross + 1) + j, b = a + kAcross + 1;
                if (i > 0) addTriangle(a, a + 1, b + 1, side > 0);
                if (i + 1 < kAlong) addTriangle(a, b + 1, b, side > 0);
            }
    }

    /// Half a round around the edge, from the upper face to the under face.
    void addRim() {
        const std::vector<RimPoint> rim = outline();
        const std::size_t n = rim.size(), first = part_.vertex.size();
        for (std::size_t i = 0; i < n; ++i) {
            const RimPoint before = rim[(i + n - 1) % n], here = rim[i], after = rim[(i + 1) % n];
            const glm::dvec3 up = sheetNormal(here.x, here.z);
            const glm::dvec3 along = onSheet(after.x, after.z) - onSheet(before.x, before.z);
            const glm::dvec3 out = glm::normalize(glm::cross(along, up));
            for (std::size_t k = 0; k <= kRound; ++k) {
                const double a = std::numbers::pi * static_cast<double>(k) / kRound;
                // The last one is exactly -up: it has to meet the under face bit by bit.
                const glm::dvec3 normal = k == 0        ? up
                                          : k == kRound ? -up
                                                        : std::cos(a) * up + std::sin(a) * out;
                add(here.x, here.z, normal, here.x / kLength);
            }
        }
        for (std::size_t i = 0; i < n; ++i)
            for (std::size_t k = 0; k < kRound; ++k) {
                const std::size_t a = first + i * (kRound + 1) + k;
                const std::size_t b = first + (i + 1) % n * (kRound + 1) + k;
                part_.triangle.push_back({a, a + 1, b + 1});
                part_.triangle.push_back({a, b + 1, b});
            }
    }

    void add(double x, double z, glm::dvec3 normal, double u) {
        part_.vertex.push_back(
            {onSheet(x, z) + kHalfThickness * normal, normal, {u, 0.5 + 0.5 * z / kBowlHalfWidth}});
    }

    void addTriangle(std::size_t a, std::size_t b, std::size_t c, bool up) {
        if (up)
            part_.triangle.push_back({a, b, c});
        else
            part_.triangle.push_back({a, c, b});
    }

    /// Tips it about z until the bowl and the handle's end both touch y = 0, and centres it.
    void layDown() {
        for (int round = 0; round < 4; ++round) {
            glm::dvec3 bowl(0, 1e9, 0), end(0, 1e9, 0);
            for (const Vertex& v : part_.vertex) {
                glm::dvec3& low = v.at_cm.x < 6.0 ? bowl : end;
                if (v.at_cm.y < low.y) low = v.at_cm;
            }
            const double tip = -std::atan2(end.y - bowl.y, end.x - bowl.x);
            const double c = std::cos(tip), s = std::sin(tip);
            const auto turned = [&](glm::dvec3 p) {
                return glm::dvec3(c * p.x - s * p.y, s * p.x + c * p.y, p.z);
            };
            const double lowest = turned(bowl).y;
            for (Vertex& v : part_.vertex) {
                v.at_cm = turned(v.at_cm) - glm::dvec3(0, lowest, 0);
                v.normal = turned(v.normal);
            }
        }
        for (Vertex& v : part_.vertex) v.at_cm.x -= 0.5 * kLength;
    }

    Part part_;
};

}  // namespace

Model brassSpoon() {
    return {"Brass scoop, 16 cm long, sheet 1.5 mm", {SpoonBuilder().build()}};
}

}  // namespace keyfall::lathe
