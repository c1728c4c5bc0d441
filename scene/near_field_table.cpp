// Cells of a near-field table and their measures. Not here: filling them.
#include "scene/near_field_table.h"

#include <cmath>
#include <numbers>

namespace keyfall {
namespace {

constexpr float kTurn = 2.0F * std::numbers::pi_v<float>;

int binOf(float share, int bins) {
    return std::min(bins - 1, std::max(0, static_cast<int>(share * static_cast<float>(bins))));
}

/// Position and direction in the axes in which the cells are counted, folded where they are.
struct Place {
    float along;  ///< 0..1
    float across;
    glm::vec2 direction;  ///< on the Nusselt disc
};

/// A face's mirror images: into the quarter x, y > 0, the direction's components along.
void foldQuarter(glm::vec2& p, glm::vec2& d) {
    for (int axis = 0; axis < 2; ++axis)
        if (p[axis] < 0.0F) {
            p[axis] = -p[axis];
            d[axis] = -d[axis];
        }
}

Place placeOnDisc(const TableFace& face, glm::vec2 p, glm::vec2 d) {
    if (face.folded && face.across > 1) foldQuarter(p, d);
    const float radius = glm::length(p);
    const glm::vec2 outward = radius > 0.0F ? p / radius : glm::vec2(1, 0);
    const float full = 0.5F * face.exit.shape.a_m;
    Place place{(radius / full) * (radius / full), 0.0F,
                {glm::dot(d, outward), outward.x * d.y - outward.y * d.x}};
    if (face.across == 1) {
        if (face.folded) place.direction.y = std::abs(place.direction.y);
        return place;
    }
    const float angle = std::atan2(p.y, p.x);
    place.across = face.folded ? 4.0F * angle / kTurn : angle / kTurn + (angle < 0.0F ? 1.0F : 0.0F);
    return place;
}

Place placeOnPanel(const TableFace& face, glm::vec2 p, glm::vec2 d) {
    const glm::vec2 half = 0.5F * glm::vec2(face.exit.shape.a_m, face.exit.shape.b_m);
    if (!face.folded) return {0.5F * (p.x / half.x + 1.0F), 0.5F * (p.y / half.y + 1.0F), d};
    foldQuarter(p, d);
    return {p.x / half.x, p.y / half.y, d};
}

/// Integral of sqrt(1 - x^2) from 0.
double underCircle(double x) {
    return 0.5 * (x * std::sqrt(std::max(0.0, 1.0 - x * x)) + std::asin(x));
}

/// Area of the unit disc with x in [x0, x1], y in [0, y1], all in [0, 1].
double discPart(double x0, double x1, double y1) {
    // y = min(y1, sqrt(1 - x^2)); the two meet at x = sqrt(1 - y1^2).
    const double meet = std::min(x1, std::max(x0, std::sqrt(std::max(0.0, 1.0 - y1 * y1))));
    return (meet - x0) * y1 + underCircle(x1) - underCircle(meet);
}

/// Integral over x in [0, x] and y in [0, y] of the unit disc, odd in both: sums of four of them make any
/// rectangle.
double quadrant(double x, double y) {
    return std::copysign(1.0, x) * std::copysign(1.0, y) * discPart(0.0, std::abs(x), std::abs(y));
}

/// Area that square (u, v) of n x n over [-1, 1]^2 shares with the unit disc.
double nusseltArea(int u, int v, int n) {
    const auto edge = [n](int i) { return 2.0 * i / n - 1.0; };
    const double x0 = edge(u), x1 = edge(u + 1), y0 = edge(v), y1 = edge(v + 1);
    return std::max(0.0, quadrant(x1, y1) - quadrant(x0, y1) - quadrant(x1, y0) + quadrant(x0, y0));
}

/// Point of position cell (i, j) at the shares (a, c) of it, in the face's own axes.
glm::vec2 pointOfCell(const TableFace& face, int i, int j, glm::vec2 share) {
    const LampShape& s = face.exit.shape;
    const float along = (static_cast<float>(i) + share.x) / static_cast<float>(face.along);
    const float across = (static_cast<float>(j) + share.y) / static_cast<float>(face.across);
    if (s.kind == LampKind::disc) {
        const float turn = kTurn * (face.folded && face.across > 1 ? 0.25F * across : across);
        return 0.5F * s.a_m * std::sqrt(along) * glm::vec2(std::cos(turn), std::sin(turn));
    }
    const glm::vec2 at(along, across);
    return 0.5F * glm::vec2(s.a_m, s.b_m) * (face.folded ? at : 2.0F * at - 1.0F);
}

/// Point k of 1024 in the unit square, a (0,2)-net (Hammersley): an outline at 45 degrees, which runs
/// through a grid's points, meets no row of these.
glm::vec2 netPoint(unsigned k) {
    unsigned reversed = 0;
    for (unsigned bit = 0; bit < 10U; ++bit) reversed |= ((k >> bit) & 1U) << (9U - bit);
    return (glm::vec2(static_cast<float>(k), static_cast<float>(reversed)) + 0.5F) / 1024.0F;
}

/// Open area of each position cell, mirror images included, by 1024 points a cell: exact for cells that
/// the outline does not cut.
std::vector<double> positionAreas_m2(const TableFace& face) {
    constexpr unsigned kPoints = 1024;
    const LampShape& s = face.exit.shape;
    const auto a_m = static_cast<double>(s.a_m);
    const double whole = s.kind == LampKind::disc ? std::numbers::pi * a_m * a_m / 4.0
                                                  : a_m * static_cast<double>(s.b_m);
    const double perCell = whole / (face.along * face.across);
    std::vector<double> areas;
    for (int i = 0; i < face.along; ++i)
        for (int j = 0; j < face.across; ++j) {
            int open = 0;
            for (unsigned k = 0; k < kPoints; ++k)
                open += isOpen(face.exit, pointOfCell(face, i, j, netPoint(k))) ? 1 : 0;
            areas.push_back(perCell * open / kPoints);
        }
    return areas;
}

}  // namespace

std::size_t TableFace::cellCount() const {
    return static_cast<std::size_t>(along) * static_cast<std::size_t>(across) *
           static_cast<std::size_t>(directions) * static_cast<std::size_t>(directions);
}

std::size_t cellOf(const TableFace& face, glm::vec2 local_m, glm::vec3 direction) {
    const glm::vec2 d(direction.x, direction.y);
    const Place p = face.exit.shape.kind == LampKind::disc ? placeOnDisc(face, local_m, d)
                                                           : placeOnPanel(face, local_m, d);
    const int n = face.directions;
    const int position = binOf(p.along, face.along) * face.across + binOf(p.across, face.across);
    const glm::vec2 towards = 0.5F * (p.direction + 1.0F);
    return static_cast<std::size_t>(position) * static_cast<std::size_t>(n * n) +
           static_cast<std::size_t>(binOf(towards.x, n) * n + binOf(towards.y, n));
}

ExitRay rayOfCell(const TableFace& face, std::size_t cell, glm::vec2 position, glm::vec2 direction) {
    const int n = face.directions, c = static_cast<int>(cell);
    ExitRay ray;
    ray.local_m = pointOfCell(face, c / (n * n) / face.across, c / (n * n) % face.across, position);
    const glm::vec2 index(static_cast<float>(c / n % n), static_cast<float>(c % n));
    glm::vec2 d = 2.0F * (index + direction) / static_cast<float>(n) - 1.0F;
    const float up = 1.0F - glm::dot(d, d);
    if (up <= 0.0F) return ray;
    if (face.exit.shape.kind == LampKind::disc) {
        const float radius = glm::length(ray.local_m);
        const glm::vec2 outward = radius > 0.0F ? ray.local_m / radius : glm::vec2(1, 0);
        d = d.x * outward + d.y * glm::vec2(-outward.y, outward.x);
    }
    ray.direction = {d.x, d.y, std::sqrt(up)};
    return ray;
}

Bands luminance_perSrM2(const TableFace& face, glm::vec2 local_m, glm::vec3 direction) {
    Bands found;
    if (direction.z <= 0.0F || !isOpen(face.exit, local_m)) return found;
    const float* cell = face.luminance.data() + cellOf(face, local_m, direction) * kBands;
    std::copy_n(cell, kBands, found.v);
    return found;
}

std::vector<double> cellMeasures_srM2(const TableFace& face) {
    const int n = face.directions;
    // One sector, folded: the lower half of the directions stands for nothing, the upper for both.
    const bool halved = face.folded && face.exit.shape.kind == LampKind::disc && face.across == 1;
    std::vector<double> angles;  // the same at every position
    for (int u = 0; u < n; ++u)
        for (int v = 0; v < n; ++v) {
            const double angle = nusseltArea(u, v, n);
            const double images = !halved || 2 * v + 1 == n ? 1.0 : 2 * v + 1 < n ? 0.0 : 2.0;
            angles.push_back(images * angle);
        }
    std::vector<double> measures;
    measures.reserve(face.cellCount());
    for (const double area : positionAreas_m2(face))
        for (const double angle : angles) measures.push_back(area * angle);
    return measures;
}

Bands fluxOf(const TableFace& face) {
    const std::vector<double> measures = cellMeasures_srM2(face);
    double sum[kBands] = {};
    for (std::size_t c = 0; c < measures.size(); ++c)
        for (std::size_t b = 0; b < kBands; ++b)
            sum[b] += measures[c] * static_cast<double>(face.luminance[c * kBands + b]);
    Bands flux;
    for (int b = 0; b < kBands; ++b) flux[b] = static_cast<float>(sum[b]);
    return flux;
}

}  // namespace keyfall
