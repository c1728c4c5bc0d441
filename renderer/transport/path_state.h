// What a path counts and carries along. Not here: the walk (path.h).
#pragma once

#include <cmath>
#include <cstdint>

#include "renderer/optics/bsdf.h"
#include "renderer/optics/medium_stack.h"
#include "renderer/stage/stage.h"

namespace keyfall {

/// What happened on the way, for the report and for warnings.
struct PathCounters {
    std::uint64_t paths = 0;
    std::uint64_t rays = 0;          ///< nearest-hit and shadow queries
    std::uint64_t mediumMisses = 0;  ///< solids left that were never entered, stacks full
    std::uint64_t guardStops = 0;    ///< paths ended at 1000 vertices
    std::uint64_t clipped = 0;       ///< sampled directions below the true surface: lost energy

    PathCounters& operator+=(const PathCounters& o) {
        paths += o.paths;
        rays += o.rays;
        mediumMisses += o.mediumMisses;
        guardStops += o.guardStops;
        clipped += o.clipped;
        return *this;
    }
};

/// How a contribution came: what a sink may sort by.
struct Arrival {
    std::uint64_t boards = 0;  ///< bit per board touched
    bool caustic = false;      ///< rough vertex, then a smooth specular chain to the lamp
    bool specular = false;     ///< through a highlight of the first surface seen
    bool straight = false;     ///< a lamp that the eye sees without a turn, through sheets too
};

/// The solids a path is inside of, and what their surfaces mean to it.
class PathMedia {
  public:
    explicit PathMedia(PathCounters& counters) : counters_(counters) {}

    static bool isSolidGlass(const SurfacePoint& s) {
        return s.material->base == Base::glass && !s.material->thin;
    }

    /// Sets eta at a surface of solid glass; false when the surface lies inside a solid of higher
    /// priority and means nothing: the path just goes on.
    bool resolve(const SurfacePoint& s, Bsdf& bsdf) {
        const float own = s.material->ior;
        if (s.entering) {
            if (!stack_.wouldWin(*s.material)) {
                note(stack_.enter(s.item, *s.material));
                return false;
            }
            bsdf.etaRatio = own / iorOf(stack_.current());
            return true;
        }
        const bool current = stack_.isCurrent(s.item);
        const Material* outside = stack_.currentWithout(s.item);
        if (!current) {
            if (stack_.leave(s.item)) return false;
            note(false);
        }
        bsdf.etaRatio = own / iorOf(outside);
        return true;
    }

    /// The path goes through a surface of solid glass that resolve() let count.
    void cross(const SurfacePoint& s) {
        note(s.entering ? stack_.enter(s.item, *s.material) : stack_.leave(s.item));
    }

    /// The medium here; nullptr in air.
    const Material* here() const { return stack_.current(); }
    /// The medium on the other side of a surface of solid glass that resolve() let count.
    const Material* beyond(const SurfacePoint& s) const {
        return s.entering ? s.material : stack_.currentWithout(s.item);
    }
    float iorHere() const { return iorOf(here()); }

  private:
    static float iorOf(const Material* m) { return m == nullptr ? 1.0F : m->ior; }
    void note(bool hit) { counters_.mediumMisses += hit ? 0U : 1U; }

    MediumStack stack_;
    PathCounters& counters_;
};

/// Beer and Lambert: what `medium` (nullptr: air) leaves of `weight` on the way.
inline void absorb(Bands& weight, const Material* medium, float distance_m) {
    if (medium == nullptr || medium->absorption_perM.isBlack()) return;
    for (int b = 0; b < kBands; ++b) weight[b] *= std::exp(-medium->absorption_perM[b] * distance_m);
}

}  // namespace keyfall
