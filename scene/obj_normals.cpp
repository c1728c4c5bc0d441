// Normals from creases and smoothing groups. Not here: the file's own normals (obj_raw.cpp).
#include "scene/obj_normals.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace keyfall {
namespace {

// Halves of one flat polygon differ by rounding only; they may share vertices even at crease 0.
constexpr double kFlat_rad = 1e-4;

/// One corner at the place being worked on.
struct Spoke {
    std::uint32_t triangle, k;
    std::uint32_t next, previous;  ///< welded places at the far ends of its two edges
    glm::dvec3 normal;             ///< of its face
    double angle_rad;
};

class NormalFiller {
  public:
    NormalFiller(RawObj& obj, std::span<const std::uint32_t> weld, float crease_rad)
        : obj_(obj),
          weld_(weld),
          creaseCosine_(std::cos(std::max(static_cast<double>(crease_rad), kFlat_rad)) - 1e-7),
          flatCosine_(std::cos(kFlat_rad) - 1e-7) {}

    void run() {
        fileCorners();
        for (std::size_t v = 0; v < obj_.position.size(); ++v) {
            gather(first_[v], first_[v + 1]);
            if (spoke_.empty()) continue;
            join();
            writeNormals();
        }
    }

  private:
    bool needs(const RawObj::Corner& c) const { return c.vn == RawObj::kNone; }

    template <typename Visit>
    void eachNeedyCorner(Visit visit) const {
        for (std::size_t t = 0; t < obj_.triangle.size(); ++t)
            for (std::size_t k = 0; k < 3; ++k)
                if (needs(obj_.triangle[t].corner[k]))
                    visit(weld_[obj_.triangle[t].corner[k].v],
                          static_cast<std::uint32_t>(3 * t + k));
    }

    /// Corners sorted by place, counted first: 12 bytes a triangle.
    void fileCorners() {
        first_.assign(obj_.position.size() + 2, 0);
        eachNeedyCorner([&](std::uint32_t v, std::uint32_t) { ++first_[v + 2]; });
        std::partial_sum(first_.begin(), first_.end(), first_.begin());
        corner_.resize(first_.back());
        eachNeedyCorner([&](std::uint32_t v, std::uint32_t c) { corner_[first_[v + 1]++] = c; });
    }

    void gather(std::uint32_t begin, std::uint32_t end) {
        spoke_.clear();
        for (std::uint32_t i = begin; i < end; ++i) {
            const std::uint32_t t = corner_[i] / 3, k = corner_[i] % 3;
            const RawObj::Triangle& tri = obj_.triangle[t];
            const std::uint32_t next = tri.corner[(k + 1) % 3].v, prev = tri.corner[(k + 2) % 3].v;
            const glm::dvec3 at(obj_.position[tri.corner[k].v]);
            const glm::dvec3 a = glm::dvec3(obj_.position[next]) - at;
            const glm::dvec3 b = glm::dvec3(obj_.position[prev]) - at;
            // atan2 keeps its digits at angles near 0 and pi, where acos of a dot loses them.
            const double angle = std::atan2(glm::length(glm::cross(a, b)), glm::dot(a, b));
            spoke_.push_back({t, k, weld_[next], weld_[prev], faceNormal(obj_, tri), angle});
        }
        parent_.resize(spoke_.size());
        std::iota(parent_.begin(), parent_.end(), 0U);
    }

    std::uint32_t root(std::uint32_t i) {
        while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
        return i;
    }

    std::int32_t groupOf(std::uint32_t i) const {
        return obj_.triangle[spoke_[i].triangle].smoothing;
    }

    bool joined(std::uint32_t a, std::uint32_t b) const {
        if (groupOf(a) != groupOf(b)) return false;
        if (groupOf(a) > 0) return true;
        const double cosine = glm::dot(spoke_[a].normal, spoke_[b].normal);
        return cosine >= (groupOf(a) == 0 ? flatCosine_ : creaseCosine_);
    }

    // Neighbours over an edge are found by sorting the far ends: comparing all pairs would take
    // minutes at the tip of a fan of 100 000 triangles.
    void join() {
        edge_.clear();
        for (std::uint32_t i = 0; i < spoke_.size(); ++i) {
            edge_.emplace_back(spoke_[i].next, i);
            edge_.emplace_back(spoke_[i].previous, i);
        }
        std::sort(edge_.begin(), edge_.end());
        for (std::size_t e = 1; e < edge_.size(); ++e)
            if (edge_[e].first == edge_[e - 1].first &&
                joined(edge_[e].second, edge_[e - 1].second))
                parent_[root(edge_[e].second)] = root(edge_[e - 1].second);
        joinGroups();
    }

    // A smoothing group holds at a place even where its faces share no edge there.
    void joinGroups() {
        group_.clear();
        for (std::uint32_t i = 0; i < spoke_.size(); ++i)
            if (groupOf(i) > 0) group_.emplace_back(groupOf(i), i);
        std::sort(group_.begin(), group_.end());
        for (std::size_t g = 1; g < group_.size(); ++g)
            if (group_[g].first == group_[g - 1].first)
                parent_[root(group_[g].second)] = root(group_[g - 1].second);
    }

    void writeNormals() {
        sum_.assign(spoke_.size(), glm::dvec3(0.0));
        index_.assign(spoke_.size(), RawObj::kNone);
        for (std::uint32_t i = 0; i < spoke_.size(); ++i)
            sum_[root(i)] += spoke_[i].angle_rad * spoke_[i].normal;
        for (std::uint32_t i = 0; i < spoke_.size(); ++i) {
            const std::uint32_t r = root(i);
            if (index_[r] == RawObj::kNone) {
                index_[r] = static_cast<std::uint32_t>(obj_.normal.size());
                // Faces back to back cancel: then each of them would do, the first is taken.
                const bool cancels = glm::length(sum_[r]) < 1e-9;
                obj_.normal.emplace_back(cancels ? spoke_[i].normal : glm::normalize(sum_[r]));
            }
            obj_.triangle[spoke_[i].triangle].corner[spoke_[i].k].vn = index_[r];
        }
    }

    RawObj& obj_;
    std::span<const std::uint32_t> weld_;
    double creaseCosine_, flatCosine_;
    std::vector<std::uint32_t> first_, corner_;
    std::vector<Spoke> spoke_;
    std::vector<std::uint32_t> parent_, index_;
    std::vector<std::pair<std::uint32_t, std::uint32_t>> edge_;
    std::vector<std::pair<std::int32_t, std::uint32_t>> group_;
    std::vector<glm::dvec3> sum_;
};

}  // namespace

glm::dvec3 faceNormal(const RawObj& obj, const RawObj::Triangle& t) {
    const glm::dvec3 a(obj.position[t.corner[0].v]), b(obj.position[t.corner[1].v]),
        c(obj.position[t.corner[2].v]);
    const glm::dvec3 n = glm::cross(b - a, c - a);
    const double length = glm::length(n);
    return length > 0.0 ? n / length : glm::dvec3(0.0);
}

void fillNormals(RawObj& obj, std::span<const std::uint32_t> weld, float crease_rad) {
    NormalFiller(obj, weld, crease_rad).run();
}

}  // namespace keyfall
