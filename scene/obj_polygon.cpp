// Splits polygons into triangles. Not here: reading them (obj_raw.cpp).
#include <cmath>
#include <numeric>

#include "scene/obj_raw.h"

namespace keyfall {
namespace {

using Triple = std::array<std::uint32_t, 3>;

// Newell: the area vector of a closed polygon is half the sum of cross(p[i], p[i+1]); it also gives
// a best plane where the corners do not lie in one.
glm::dvec3 areaVector(const std::vector<glm::dvec3>& corner) {
    glm::dvec3 sum(0.0);
    for (std::size_t i = 0; i < corner.size(); ++i)
        sum += glm::cross(corner[i] - corner[0], corner[(i + 1) % corner.size()] - corner[0]);
    return 0.5 * sum;
}

glm::dvec3 crossAt(const std::vector<glm::dvec3>& p, const Triple& t) {
    return glm::cross(p[t[1]] - p[t[0]], p[t[2]] - p[t[0]]);
}

// A diagonal lies inside when both triangles beside it turn the polygon's way.
std::vector<Triple> splitQuad(const std::vector<glm::dvec3>& p) {
    const glm::dvec3 n = areaVector(p);
    const std::array<Triple, 2> along02{Triple{0, 1, 2}, Triple{0, 2, 3}};
    const std::array<Triple, 2> along13{Triple{1, 2, 3}, Triple{1, 3, 0}};
    const auto inside = [&](const std::array<Triple, 2>& s) {
        return glm::dot(crossAt(p, s[0]), n) >= 0.0 && glm::dot(crossAt(p, s[1]), n) >= 0.0;
    };
    const bool shorter02 = glm::distance(p[0], p[2]) <= glm::distance(p[1], p[3]);
    const bool use02 = inside(along02) == inside(along13) ? shorter02 : inside(along02);
    const auto& s = use02 ? along02 : along13;
    return {s[0], s[1]};
}

/// Ear cutting on a ring of corner numbers, in two dimensions.
class EarCutter {
  public:
    explicit EarCutter(const std::vector<glm::dvec3>& corner) : flat_(corner.size()) {
        glm::dvec3 n = areaVector(corner);
        n = glm::length(n) > 0.0 ? glm::normalize(n) : glm::dvec3(0, 0, 1);
        const glm::dvec3 axis = std::abs(n.x) < 0.6 ? glm::dvec3(1, 0, 0) : glm::dvec3(0, 1, 0);
        const glm::dvec3 u = glm::normalize(glm::cross(axis, n));
        const glm::dvec3 v = glm::cross(n, u);
        for (std::size_t i = 0; i < corner.size(); ++i)
            flat_[i] = {glm::dot(corner[i] - corner[0], u), glm::dot(corner[i] - corner[0], v)};
        ring_.resize(corner.size());
        std::iota(ring_.begin(), ring_.end(), 0U);
    }

    std::vector<Triple> run() {
        std::vector<Triple> triangles;
        std::size_t at = 0, tried = 0;
        while (ring_.size() > 3) {
            // All tried and none is an ear: the polygon crosses itself. Cut anyway, so that the
            // count stays n - 2 and the loop ends.
            if (!isEar(at) && tried < ring_.size()) {
                at = (at + 1) % ring_.size();
                ++tried;
                continue;
            }
            triangles.push_back(tripleAt(at));
            ring_.erase(ring_.begin() + static_cast<std::ptrdiff_t>(at));
            at %= ring_.size();
            tried = 0;
        }
        triangles.push_back({ring_[0], ring_[1], ring_[2]});
        return triangles;
    }

  private:
    Triple tripleAt(std::size_t i) const {
        const std::size_t n = ring_.size();
        return {ring_[(i + n - 1) % n], ring_[i], ring_[(i + 1) % n]};
    }

    double turn(std::uint32_t a, std::uint32_t b, std::uint32_t c) const {
        const glm::dvec2 ab = flat_[b] - flat_[a], ac = flat_[c] - flat_[a];
        return ab.x * ac.y - ab.y * ac.x;
    }

    // Corners on the border count as inside, but not those that share a place with one of the ear's
    // own corners: holes are often written as a slit that visits two corners twice.
    bool isEar(std::size_t i) const {
        const Triple t = tripleAt(i);
        if (turn(t[0], t[1], t[2]) <= 0.0) return false;
        for (const std::uint32_t k : ring_) {
            if (flat_[k] == flat_[t[0]] || flat_[k] == flat_[t[1]] || flat_[k] == flat_[t[2]])
                continue;
            if (turn(t[0], t[1], k) >= 0.0 && turn(t[1], t[2], k) >= 0.0 &&
                turn(t[2], t[0], k) >= 0.0)
                return false;
        }
        return true;
    }

    std::vector<glm::dvec2> flat_;
    std::vector<std::uint32_t> ring_;
};

}  // namespace

std::vector<Triple> splitPolygon(const std::vector<glm::dvec3>& corner) {
    if (corner.size() < 3) return {};
    if (corner.size() == 3) return {{0, 1, 2}};
    if (corner.size() == 4) return splitQuad(corner);
    return EarCutter(corner).run();
}

}  // namespace keyfall
