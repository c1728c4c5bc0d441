// Linear floats to 8-bit sRGB codes by table, exactly as srgbCodes() rounds them. Not here: the curve
// (scene/colour.h).
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <limits>

#include "renderer/photograph/view.h"

namespace keyfall {

/// From 2^-13, under the first step of the curve, to 1 a float's upper bits name one of 13 * 128 bins.
/// Each is narrower than a code, so it holds one step at most: code of its lower end, then one compare.
class SrgbTable {
  public:
    SrgbTable() {
        step_.fill(std::numeric_limits<float>::infinity());
        for (std::size_t code = 1; code < 256; ++code) step_[code] = leastOf(static_cast<int>(code));
        for (std::size_t bin = 0; bin < code_.size(); ++bin)
            code_[bin] = static_cast<std::uint8_t>(
                codeOf(std::bit_cast<float>((static_cast<std::uint32_t>(bin) << 16U) + kFirstBits)));
    }

    /// The index of code() for a value already within [2^-13, 1].
    static constexpr float kLeast = 0x1p-13F;
    std::uint8_t code(float value) const {
        const std::uint8_t low = code_[(std::bit_cast<std::uint32_t>(value) - kFirstBits) >> 16U];
        return static_cast<std::uint8_t>(low + (value >= step_[low + 1U] ? 1 : 0));
    }

  private:
    static constexpr std::uint32_t kFirstBits = std::bit_cast<std::uint32_t>(kLeast);
    static int codeOf(float value) { return srgbCodes(glm::dvec3(static_cast<double>(value)))[0]; }
    /// Least float that has the code, by halving: neighbouring floats have neighbouring bits.
    static float leastOf(int code) {
        std::uint32_t below = 0, at = std::bit_cast<std::uint32_t>(1.0F);
        while (at - below > 1) {
            const std::uint32_t middle = below + (at - below) / 2;
            (codeOf(std::bit_cast<float>(middle)) >= code ? at : below) = middle;
        }
        return std::bit_cast<float>(at);
    }

    std::array<std::uint8_t, 13 * 128 + 1> code_{};
    std::array<float, 257> step_{};
};

}  // namespace keyfall
