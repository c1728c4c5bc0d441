// Owen-scrambled Sobol points for paths. Pure functions of (seed, index, dimension): no state is
// shared, so results cannot depend on threads. Not here: what the numbers are used for (warp.h).
#pragma once

#include <cstdint>
#include <glm/glm.hpp>

namespace keyfall {

/// A 32-bit mixing hash (bijective in `x`): two rounds of multiply and xor-shift.
/// Constants: a published search for low avalanche bias (from memory); the test measures the bias.
constexpr std::uint32_t mix32(std::uint32_t x) {
    x = (x ^ (x >> 16U)) * 0x21f0aaadU;
    x = (x ^ (x >> 15U)) * 0xd35a2d97U;
    return x ^ (x >> 15U);
}

/// A 64-bit mixing hash, bijective. Constants: SplitMix64's finaliser (Steele, Lea & Flood, OOPSLA
/// 2014; variant 13 of Stafford, from memory).
constexpr std::uint64_t mix64(std::uint64_t x) {
    x = (x ^ (x >> 30U)) * 0xbf58476d1ce4e5b9U;
    x = (x ^ (x >> 27U)) * 0x94d049bb133111ebU;
    return x ^ (x >> 31U);
}

/// Hash of a pair; bijective in `value`, so streams of one seed never collide.
constexpr std::uint32_t combine32(std::uint32_t seed, std::uint32_t value) {
    return mix32(value ^ mix32(seed + 0x9e3779b9U));
}

constexpr std::uint32_t reverseBits(std::uint32_t x) {
    x = ((x >> 1U) & 0x55555555U) | ((x & 0x55555555U) << 1U);
    x = ((x >> 2U) & 0x33333333U) | ((x & 0x33333333U) << 2U);
    x = ((x >> 4U) & 0x0f0f0f0fU) | ((x & 0x0f0f0f0fU) << 4U);
    return __builtin_bswap32(x);
}

constexpr std::uint64_t reverseBits64(std::uint64_t x) {
    x = ((x >> 1U) & 0x5555555555555555U) | ((x & 0x5555555555555555U) << 1U);
    x = ((x >> 2U) & 0x3333333333333333U) | ((x & 0x3333333333333333U) << 2U);
    x = ((x >> 4U) & 0x0f0f0f0f0f0f0f0fU) | ((x & 0x0f0f0f0f0f0f0f0fU) << 4U);
    return __builtin_bswap64(x);
}

/// The scrambling seen from the low end: every step lets a bit change only higher bits, which is
/// Owen's tree upside down. Source: Laine & Karras, EGSR 2011; constants of Vegdahl (2021).
constexpr std::uint32_t permuteUpward(std::uint32_t x, std::uint32_t seed) {
    x ^= x * 0x3d20adeaU;
    x += seed;
    x *= (seed >> 16U) | 1U;
    x ^= x * 0x05526c56U;
    x ^= x * 0x53a22864U;
    return x;
}

/// Hash-based Owen scrambling of the bits of x, seed by seed independent.
/// Source: Burley, "Practical Hash-based Owen Scrambling", JCGT 9(4), 2020, with the improved
/// constants of Vegdahl (2021).
constexpr std::uint32_t owenScramble(std::uint32_t x, std::uint32_t seed) {
    return reverseBits(permuteUpward(reverseBits(x), seed));
}

/// Sobol's second dimension of point `index`, its bits in reversed order.
///
/// Its direction matrix is Pascal's triangle mod 2, and C(k, i) is odd exactly when the bits of i
/// are among those of k (Lucas): the product is the xor over all supersets, five steps in place of
/// a walk over 32 columns. The first dimension, reversed, is `index` itself.
constexpr std::uint32_t sobolSecondReversed(std::uint32_t index) {
    index ^= (index >> 1U) & 0x55555555U;
    index ^= (index >> 2U) & 0x33333333U;
    index ^= (index >> 4U) & 0x0f0f0f0fU;
    index ^= (index >> 8U) & 0x00ff00ffU;
    index ^= index >> 16U;
    return index;
}

/// 32 random bits as a float in [0, 1): the top 24, which a float holds exactly, so 1 never comes.
/// By way of int: baseline x86-64 converts signed numbers in one instruction.
constexpr float unitFloat(std::uint32_t bits) {
    return static_cast<float>(static_cast<std::int32_t>(bits >> 8U)) * 0x1p-24F;
}

/// The sequence of random pairs that one sample of one pixel (or probe) and replicate uses.
/// Dimensions are padded: each pair is its own 2-D Sobol net, shuffled by the dimension's hash.
/// Power-of-two runs of `index` starting at 0 are (0,2)-nets in every pair; the first point is kept
/// (Owen 2020). Values lie in [0, 1), at most 1 - 2^-24.
class PathSampler {
  public:
    /// `stream` tells apart pixels or probes AND replicates: equal streams share a scrambling.
    PathSampler(std::uint32_t seed, std::uint32_t stream, std::uint32_t index)
        : key_(static_cast<std::uint64_t>(combine32(seed, stream)) << 32U),
          reversedIndex_(reverseBits(index)) {}

    /// The next pair is the one of this dimension: a path names its vertices' dimensions, so that
    /// what happened at one does not shift the numbers of the next.
    void goTo(std::uint32_t dimension) { dimension_ = dimension + 1; }

    glm::vec2 next2D() {
        const Seeds s = nextSeeds();
        const std::uint32_t point = reverseBits(permuteUpward(reversedIndex_, s.shuffle));
        const std::uint64_t x = permuteUpward(point, s.x);
        const std::uint64_t y = permuteUpward(sobolSecondReversed(point), s.y);
        const std::uint64_t both = reverseBits64(x | (y << 32U));  // one reversal for two words
        return {unitFloat(static_cast<std::uint32_t>(both >> 32U)),
                unitFloat(static_cast<std::uint32_t>(both))};
    }

    float next1D() {
        const Seeds s = nextSeeds();
        const std::uint32_t point = reverseBits(permuteUpward(reversedIndex_, s.shuffle));
        return unitFloat(reverseBits(permuteUpward(point, s.x)));
    }

  private:
    /// One hash a dimension feeds all three scramblings. A third word by plain xor of the two would
    /// tie the three top bits together; the high half of another product does not.
    struct Seeds {
        std::uint32_t shuffle, x, y;
    };
    Seeds nextSeeds() {
        const std::uint64_t h = mix64(key_ + dimension_++);
        return {static_cast<std::uint32_t>((h * 0x9e3779b97f4a7c15U) >> 32U),
                static_cast<std::uint32_t>(h), static_cast<std::uint32_t>(h >> 32U)};
    }

    std::uint64_t key_;
    std::uint32_t reversedIndex_;
    std::uint32_t dimension_ = 1;  // 0 would hash stream key 0 to 0
};

/// Plain independent random numbers with the same interface, the benchmark's and tests' opponent.
/// Source: O'Neill, "PCG", HMC-CS-2014-0905 (the 64-bit state, 32-bit output XSH-RR generator).
class IndependentSampler {
  public:
    IndependentSampler(std::uint32_t seed, std::uint32_t stream, std::uint32_t index);
    void goTo(std::uint32_t /*dimension*/) {}
    glm::vec2 next2D();
    float next1D();

  private:
    std::uint64_t state_;
};

}  // namespace keyfall
