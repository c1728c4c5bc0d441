// Which vertices share a place, and whether every edge has two sides. Not here: reading files.
#include "scene/mesh_weld.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

namespace keyfall {
namespace {

constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();

using Cell = glm::i64vec3;
// A cast of more is undefined. So far out a float's own steps are wider than any cell, and all that
// lies there may share one: it is compared place by place.
constexpr double kLastCell = 0x1p62;

// Mixing multipliers: the odd 64-bit constants of the splitmix64 generator, from memory. Any
// well-mixing odd numbers do; only speed depends on them.
std::uint64_t hashOf(const Cell& c) {
    std::uint64_t h = static_cast<std::uint64_t>(c.x) * 0x9E3779B97F4A7C15ULL;
    h = (h ^ (h >> 29) ^ static_cast<std::uint64_t>(c.y)) * 0xBF58476D1CE4E5B9ULL;
    h = (h ^ (h >> 31) ^ static_cast<std::uint64_t>(c.z)) * 0x94D049BB133111EBULL;
    return h ^ (h >> 32);
}

/// Open addressing over vertex indices: 4 bytes a slot. A std::unordered_map took ten times that,
/// which broke the memory budget of 2 million triangles.
class Welder {
  public:
    Welder(std::span<const glm::vec3> positions, float tolerance)
        : positions_(positions), tolerance_(tolerance) {
        slots_.assign(std::bit_ceil(std::max<std::size_t>(16, positions.size() * 3 / 2)), kNone);
    }

    std::vector<std::uint32_t> run() {
        std::vector<std::uint32_t> weld(positions_.size());
        for (std::size_t i = 0; i < positions_.size(); ++i) {
            const std::uint32_t found = find(positions_[i]);
            weld[i] = found != kNone ? found : static_cast<std::uint32_t>(i);
            if (found == kNone) insert(static_cast<std::uint32_t>(i));
        }
        return weld;
    }

  private:
    // Cells sixteen tolerances wide: a point then looks into a second cell in one case of eight a
    // axis, instead of always into 27 cells of one tolerance.
    Cell cellOf(glm::vec3 p) const {
        if (tolerance_ <= 0.0F) {
            const auto bits = [](float x) {
                return static_cast<std::int64_t>(std::bit_cast<std::uint32_t>(x + 0.0F));
            };
            return {bits(p.x), bits(p.y), bits(p.z)};
        }
        const double scale = 1.0 / (16.0 * static_cast<double>(tolerance_));
        const auto count = [scale](float x) {
            const double cells = std::floor(static_cast<double>(x) * scale);
            return static_cast<std::int64_t>(std::clamp(cells, -kLastCell, kLastCell));
        };
        return {count(p.x), count(p.y), count(p.z)};
    }

    std::uint32_t find(glm::vec3 p) const {
        const Cell low = cellOf(p - tolerance_);
        const Cell high = cellOf(p + tolerance_);
        if (tolerance_ <= 0.0F) return findIn(cellOf(p), p);
        for (std::int64_t z = low.z; z <= high.z; ++z)
            for (std::int64_t y = low.y; y <= high.y; ++y)
                for (std::int64_t x = low.x; x <= high.x; ++x)
                    if (const std::uint32_t i = findIn({x, y, z}, p); i != kNone) return i;
        return kNone;
    }

    std::uint32_t findIn(const Cell& cell, glm::vec3 p) const {
        const std::size_t mask = slots_.size() - 1;
        for (std::size_t s = hashOf(cell) & mask; slots_[s] != kNone; s = (s + 1) & mask) {
            // In double: as floats, squares of 1e-23 are 0 and squares of 1e20 infinite.
            const glm::dvec3 d = glm::dvec3(positions_[slots_[s]]) - glm::dvec3(p);
            const auto tolerance = static_cast<double>(tolerance_);
            if (glm::dot(d, d) <= tolerance * tolerance) return slots_[s];
        }
        return kNone;
    }

    void insert(std::uint32_t i) {
        const std::size_t mask = slots_.size() - 1;
        std::size_t s = hashOf(cellOf(positions_[i])) & mask;
        while (slots_[s] != kNone) s = (s + 1) & mask;
        slots_[s] = i;
    }

    std::span<const glm::vec3> positions_;
    float tolerance_;
    std::vector<std::uint32_t> slots_;
};

/// The half-edges that start at each vertex, filed under the lower end: 24 bytes a triangle.
struct HalfEdges {
    std::vector<std::uint32_t> first;  ///< per vertex, one more than vertices
    std::vector<std::uint64_t> other;  ///< 2 * higher end + (1 when run downward)
};

template <typename Visit>
void eachEdge(std::span<const std::array<std::uint32_t, 3>> triangles,
              std::span<const std::uint32_t> weld, Visit visit) {
    for (const auto& t : triangles) {
        const std::array<std::uint32_t, 3> w{weld[t[0]], weld[t[1]], weld[t[2]]};
        if (w[0] == w[1] || w[1] == w[2] || w[2] == w[0]) continue;
        for (std::size_t k = 0; k < 3; ++k) visit(w[k], w[(k + 1) % 3]);
    }
}

HalfEdges fileHalfEdges(std::span<const std::array<std::uint32_t, 3>> triangles,
                        std::span<const std::uint32_t> weld) {
    HalfEdges edges;
    edges.first.assign(weld.size() + 2, 0);
    eachEdge(triangles, weld,
             [&](std::uint32_t a, std::uint32_t b) { ++edges.first[std::min(a, b) + 2]; });
    for (std::size_t v = 2; v < edges.first.size(); ++v) edges.first[v] += edges.first[v - 1];
    edges.other.resize(edges.first.back());
    eachEdge(triangles, weld, [&](std::uint32_t a, std::uint32_t b) {
        edges.other[edges.first[std::min(a, b) + 1]++] =
            2ULL * std::max(a, b) + (a > b ? 1ULL : 0ULL);
    });
    return edges;
}

}  // namespace

std::vector<std::uint32_t> weldPositions(std::span<const glm::vec3> positions, float tolerance) {
    return Welder(positions, tolerance).run();
}

bool isClosed(std::span<const std::array<std::uint32_t, 3>> triangles,
              std::span<const std::uint32_t> weld) {
    HalfEdges edges = fileHalfEdges(triangles, weld);
    if (edges.other.empty()) return false;
    for (std::size_t v = 0; v + 1 < edges.first.size(); ++v) {
        const auto begin = edges.other.begin() + edges.first[v];
        const auto end = edges.other.begin() + edges.first[v + 1];
        if ((end - begin) % 2 != 0) return false;
        std::sort(begin, end);
        // Sorted, a closed edge shows as "up, down" and differs from its neighbours.
        for (auto e = begin; e != end; e += 2)
            if (e[0] % 2 != 0 || e[1] != e[0] + 1 || (e + 2 != end && e[2] == e[0])) return false;
    }
    return true;
}

}  // namespace keyfall
