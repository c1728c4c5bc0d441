// Which solids a path is inside of, and which of them counts where they overlap.
// Not here: the refraction itself (bsdf_glass.cpp).
#pragma once

#include <array>
#include <cstdint>

#include "scene/material.h"

namespace keyfall {

/// The solids around a point of a path, at most eight. Where several overlap, the one of highest
/// priority is the medium; between equals the one entered first. This lets a liquid overlap its
/// wall without a gap. Source: Schmidt & Budge, "Simple Nested Dielectrics in Ray Traced Images",
/// Journal of Graphics Tools 7(2), 2002 (from memory).
/// Misses (leaving a solid never entered, a full stack) are tolerated and counted: a ray through
/// a vertex may slip past a surface, and hit parity must not decide what is inside.
class MediumStack {
  public:
    struct Entry {
        std::uint32_t solid;  ///< item index: two jars of one glass are two solids
        const Material* material;
    };

    bool empty() const { return count_ == 0; }

    /// The medium here; nullptr in air.
    const Material* current() const { return winner(kNone); }
    /// The medium here if `solid` were not.
    const Material* currentWithout(std::uint32_t solid) const { return winner(solid); }

    /// True when entering a solid of this material changes the medium.
    bool wouldWin(const Material& entering) const {
        const Material* now = current();
        return now == nullptr || entering.priority > now->priority;
    }
    /// True when `solid` is the medium here.
    bool isCurrent(std::uint32_t solid) const {
        const int i = winnerIndex(kNone);
        return i >= 0 && entries_[static_cast<std::size_t>(i)].solid == solid;
    }

    /// Both return false on a miss (full; never entered).
    bool enter(std::uint32_t solid, const Material& material) {
        if (count_ == kDepth) return false;
        entries_[static_cast<std::size_t>(count_++)] = {solid, &material};
        return true;
    }
    bool leave(std::uint32_t solid) {
        for (int i = count_ - 1; i >= 0; --i) {
            if (entries_[static_cast<std::size_t>(i)].solid != solid) continue;
            for (int j = i + 1; j < count_; ++j)
                entries_[static_cast<std::size_t>(j - 1)] = entries_[static_cast<std::size_t>(j)];
            --count_;
            return true;
        }
        return false;
    }

  private:
    static constexpr int kDepth = 8;
    static constexpr std::uint32_t kNone = 0xffffffffU;

    int winnerIndex(std::uint32_t without) const {
        int best = -1;
        for (int i = 0; i < count_; ++i) {
            const Entry& e = entries_[static_cast<std::size_t>(i)];
            if (e.solid == without) continue;
            if (best < 0 ||
                e.material->priority > entries_[static_cast<std::size_t>(best)].material->priority)
                best = i;
        }
        return best;
    }
    const Material* winner(std::uint32_t without) const {
        if (count_ == 0) return nullptr;
        const int i = winnerIndex(without);
        return i < 0 ? nullptr : entries_[static_cast<std::size_t>(i)].material;
    }

    std::array<Entry, kDepth> entries_;  // as many as count_ are set; a path starts with none
    int count_ = 0;
};

}  // namespace keyfall
