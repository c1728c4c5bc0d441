// A point on a face whose luminance is not even: several candidates, one of them taken.
// Not here: what the face sends (transport/face_light.h).
//
// Resampled importance sampling (Talbot, Cline & Egbert, EGSR 2005): candidates x_i of density p, one
// taken with probability in proportion to w_i = q(x_i)/p(x_i). Then
//   f(x) / q(x) * (1/M) sum w_i
// has the expectation of f/p, whatever q > 0 where f > 0, and also when the x_i depend on each other or
// each keeps to a part of the face, as long as all together have density p. Here each has a cell of the
// unit square to itself, at one offset for half of the cells and at its opposite for the others, like the
// fields of a chess board: what rises evenly across the face then cancels out of the sum.
// Weights against other techniques use p itself: they add up to 1 at each x, which is all they need.
#pragma once

#include <array>
#include <glm/glm.hpp>
#include <optional>

#include "renderer/optics/lamp.h"

namespace keyfall {

struct FaceDraw {
    LampSample point;              ///< its pdf is p, of one candidate
    float inverseDensity_sr = 0.0F;  ///< (1/M) sum w_i / q(x): multiply f by it
};

inline constexpr int kMostCandidates = 16;

/// `importance(LampSample)` is q per steradian, >= 0. Empty: no candidate is worth anything.
/// `candidates` is a power of two up to kMostCandidates; `pick` in [0, 1) takes one.
template <class Importance>
std::optional<FaceDraw> drawOnFace(const LampView& view, int candidates, glm::vec2 u, float pick,
                                   const Importance& importance) {
    std::array<LampSample, kMostCandidates> point;
    std::array<float, kMostCandidates> q;
    std::array<float, kMostCandidates> weight;
    float sum = 0.0F;
    int columns = 1;
    while (columns * columns < candidates) columns *= 2;
    const glm::vec2 cells(static_cast<float>(columns), static_cast<float>(candidates / columns));
    for (int i = 0; i < candidates; ++i) {
        const int column = i % columns;
        const int row = i / columns;
        const glm::vec2 offset = ((column + row) & 1) == 0 ? u : glm::vec2(0x1.fffffep-1F) - u;
        const glm::vec2 at = (glm::vec2(static_cast<float>(column), static_cast<float>(row)) + offset) / cells;
        const auto k = static_cast<std::size_t>(i);
        const auto drawn = sampleLamp(view, glm::min(at, glm::vec2(0x1.fffffep-1F)));
        q[k] = drawn ? importance(*drawn) : 0.0F;
        weight[k] = q[k] > 0.0F ? q[k] / drawn->pdf_perSr : 0.0F;
        if (drawn) point[k] = *drawn;
        sum += weight[k];
    }
    if (!(sum > 0.0F)) return std::nullopt;
    float left = pick * sum;
    std::size_t taken = 0;
    for (std::size_t k = 0; k < static_cast<std::size_t>(candidates); ++k) {
        if (weight[k] <= 0.0F) continue;
        taken = k;  // rounding may leave a rest behind the last one: it gets it
        if (left < weight[k]) break;
        left -= weight[k];
    }
    return FaceDraw{point[taken], sum / static_cast<float>(candidates) / q[taken]};
}

}  // namespace keyfall
