// Linear floats to 8-bit sRGB codes by table, exactly as srgbCodes() rounds them. Not here: the curve
// (scene/colour.h).
#pragma once

#include <array>
#include <bit>
#include <cstdint>

#include "renderer/photograph/view.h"

namespace keyfall {

/// From 2^-13, under the first step of the curve, to 1 a float's upper 16 bits name one of 13 * 128 bins.
/// Each is narrower than a code, so it holds one step at most. Its entry is the code of its lower end
/// times 65536, plus what the float's lower 16 bits lack to carry into the next code at the step: one
/// addition in place of a comparison.
class SrgbTable {
  public:
    SrgbTable() {
        for (std::size_t bin = 0; bin < entry_.size(); ++bin) {
            const std::uint32_t low = (static_cast<std::uint32_t>(bin) << 16U) + kFirstBits;
            const auto code = static_cast<std::uint32_t>(codeOf(low));
            const std::uint32_t step = stepIn(low, static_cast<int>(code));
            entry_[bin] = (code << 16U) + (0x10000U - step);
        }
    }

    static constexpr float kLeast = 0x1p-13F;
    /// Not checked, here and below: values within [kLeast, 1].
    std::uint8_t code(float value) const { return static_cast<std::uint8_t>(raised(value) >> 16U); }
    /// Three codes, red in the lowest byte; the fourth is 0. One store in place of three.
    std::uint32_t packed(float red, float green, float blue) const {
        return (raised(red) >> 16U) | ((raised(green) >> 8U) & 0xff00U) | (raised(blue) & 0xff0000U);
    }

  private:
    static constexpr std::uint32_t kFirstBits = std::bit_cast<std::uint32_t>(kLeast);
    /// The code times 65536, and something below that.
    std::uint32_t raised(float value) const {
        const auto bits = std::bit_cast<std::uint32_t>(value);
        return entry_[(bits >> 16U) - (kFirstBits >> 16U)] + (bits & 0xffffU);
    }
    static int codeOf(std::uint32_t bits) {
        return srgbCodes(glm::dvec3(static_cast<double>(std::bit_cast<float>(bits))))[0];
    }
    /// Least lower half with a code above `code`, by halving; 65536 where the bin has none.
    static std::uint32_t stepIn(std::uint32_t low, int code) {
        std::uint32_t below = 0, at = 0x10000U;
        while (at - below > 1) {
            const std::uint32_t middle = below + (at - below) / 2;
            (codeOf(low + middle) > code ? at : below) = middle;
        }
        return at;
    }

    std::array<std::uint32_t, 13 * 128 + 1> entry_{};
};

}  // namespace keyfall
