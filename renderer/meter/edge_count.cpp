#include "renderer/meter/edge_count.h"

#include <algorithm>
#include <cmath>

namespace keyfall {
namespace {

/// Pieces [from, to) of the line.
struct Stretch {
    std::size_t from = 0, to = 0;
};

/// Light over open light at each place, with its replicates for the noise.
class Steps {
  public:
    explicit Steps(const Profile& profile) {
        for (const LinePoint& p : profile) {
            x_.push_back(static_cast<double>(p.x_m));
            share_.push_back(p.all.mean() / p.allOpen.mean());
            replicate_.push_back(combine([](double a, double b) { return a / b; }, p.all, p.allOpen));
        }
    }
    std::size_t pieces() const { return x_.empty() ? 0 : x_.size() - 1; }
    /// Of piece i, over its neighbours too: short pieces are mostly noise.
    double slope(std::size_t i) const {
        const std::size_t from = i > 0 ? i - 1 : 0, to = std::min(i + 2, pieces());
        return (share_[to] - share_[from]) / (x_[to] - x_[from]);
    }
    double step(Stretch s) const { return share_[s.to] - share_[s.from]; }

    bool isEdge(Stretch s) const {
        Reading difference = replicate_[s.to];
        for (std::size_t r = 0; r < difference.value.size(); ++r)
            difference.value[r] -= replicate_[s.from].value[r];
        const double size = std::abs(step(s));
        return size >= kLeastStep && size >= 4.0 * difference.standardError();
    }

    /// How far the stretch reaches, without the first and last 5 % of its step.
    double extent(Stretch s) const {
        const auto reached = [&](double part) {
            std::size_t i = s.from;
            while (i < s.to && (share_[i + 1] - share_[s.from]) / step(s) < part) ++i;
            if (i == s.to) return x_[s.to];
            const double a = (share_[i] - share_[s.from]) / step(s),
                         b = (share_[i + 1] - share_[s.from]) / step(s);
            return x_[i] + (x_[i + 1] - x_[i]) * (part - a) / (b - a);
        };
        return reached(0.95) - reached(0.05);
    }

  private:
    std::vector<double> x_, share_;
    std::vector<Reading> replicate_;
};

std::size_t steepestOf(const Steps& s, Stretch within) {
    std::size_t top = within.from;
    for (std::size_t i = within.from; i < within.to; ++i)
        if (std::abs(s.slope(i)) > std::abs(s.slope(top))) top = i;
    return top;
}

Stretch edgeAround(const Steps& s, std::size_t top, Stretch within) {
    const auto belongs = [&](std::size_t i) { return s.slope(i) / s.slope(top) > 1.0 / 3.0; };
    Stretch edge{top, top + 1};
    while (edge.from > within.from && belongs(edge.from - 1)) --edge.from;
    while (edge.to < within.to && belongs(edge.to)) ++edge.to;
    return edge;
}

/// Outward from the edge to where the slope turns, or doubles again after its least; then up to that least.
Stretch footOf(const Steps& s, std::size_t top, Stretch edge, Stretch within) {
    const auto relative = [&](std::size_t i) { return s.slope(i) / s.slope(top); };
    const auto go = [&](std::size_t start, std::size_t pieces, auto pieceAt) {
        double least = 1.0;
        std::size_t atLeast = start;
        for (std::size_t n = start; n < pieces; ++n) {
            const double slope = relative(pieceAt(n));
            if (slope <= 0.0) return n;
            if (slope > 0.01 && slope > 2.0 * least) return atLeast;
            if (slope < least) least = slope, atLeast = n + 1;
        }
        return pieces;
    };
    const std::size_t right = go(0, within.to - edge.to, [&](std::size_t n) { return edge.to + n; });
    const std::size_t left = go(0, edge.from - within.from, [&](std::size_t n) { return edge.from - 1 - n; });
    return {edge.from - left, edge.to + right};
}

int countIn(const Steps& s, Stretch within) {
    if (within.from >= within.to) return 0;
    const std::size_t top = steepestOf(s, within);
    if (!(std::abs(s.slope(top)) > 0.0)) return 0;
    const Stretch edge = edgeAround(s, top, within);
    const Stretch foot = footOf(s, top, edge, within);
    int count = s.isEdge(foot) ? 1 : 0;
    const double beside = s.step(foot) - s.step(edge);
    const bool wideUnderNarrow = count == 1 &&
                                 std::abs(beside) >= std::max(kLeastStep, 0.15 * std::abs(s.step(foot))) &&
                                 s.isEdge(edge) && s.extent(foot) >= 3.0 * s.extent(edge);
    if (wideUnderNarrow) ++count;
    return count + countIn(s, {within.from, foot.from}) + countIn(s, {foot.to, within.to});
}

}  // namespace

int countEdges(const Profile& profile) {
    const Steps s(profile);
    return countIn(s, {0, s.pieces()});
}

}  // namespace keyfall
