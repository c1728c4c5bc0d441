// Owen-scrambled Sobol points for paths. Pure functions of (seed, index, dimension): no state is
// shared, so results cannot depend on threads. Not here: what the numbers are used for (warp.h).
#pragma once

#include <cstdint>
#include <glm/glm.hpp>

namespace keyfall {

/// A 32-bit mixing hash (bijective in `x`).
std::uint32_t mix32(std::uint32_t x);
std::uint32_t combine32(std::uint32_t seed, std::uint32_t value);

/// Hash-based Owen scrambling of the bits of x, seed by seed independent.
/// Source: Burley, "Practical Hash-based Owen Scrambling", JCGT 9(4), 2020, with the improved
/// constants of Vegdahl (2021).
std::uint32_t owenScramble(std::uint32_t x, std::uint32_t seed);

/// The sequence of random pairs that one sample of one pixel (or probe) and replicate uses.
/// Dimensions are padded: each pair is its own 2-D Sobol net, shuffled by the dimension's hash.
/// Power-of-two runs of `index` starting at 0 are (0,2)-nets in every pair; the first point is kept
/// (Owen 2020). Values lie in [0, 1), at most 1 - 2^-24.
class PathSampler {
  public:
    /// `stream` tells apart pixels or probes AND replicates: equal streams share a scrambling.
    PathSampler(std::uint32_t seed, std::uint32_t stream, std::uint32_t index)
        : key_(combine32(seed, stream)), index_(index) {}

    glm::vec2 next2D();
    float next1D();

  private:
    std::uint32_t key_;
    std::uint32_t index_;
    std::uint32_t dimension_ = 0;
};

/// Plain independent random numbers with the same interface, the benchmark's and tests' opponent.
class IndependentSampler {
  public:
    IndependentSampler(std::uint32_t seed, std::uint32_t stream, std::uint32_t index);
    glm::vec2 next2D();
    float next1D();

  private:
    std::uint64_t state_;
};

}  // namespace keyfall
