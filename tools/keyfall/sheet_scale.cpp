// A picture made smaller or larger, by the light of the area that each new pixel covers: codes are no
// light, and a mean of codes would darken every edge.
#include <algorithm>
#include <cmath>

#include "scene/colour.h"
#include "sheet.h"

namespace keyfall {
namespace {

const std::array<double, 256>& linearOfCode() {
    static const std::array<double, 256> table = [] {
        std::array<double, 256> t{};
        for (std::size_t i = 0; i < t.size(); ++i) t[i] = decodeSrgb(static_cast<double>(i) / 255.0);
        return t;
    }();
    return table;
}

/// Shares of the old pixels in one new pixel; they add up to 1.
struct Share {
    int from = 0;
    std::vector<double> weight;
};

Share shareOf(int at, int before, int after) {
    const double step = static_cast<double>(before) / after;
    const double low = at * step, high = (at + 1) * step;
    Share s{std::min(static_cast<int>(low), before - 1), {}};
    for (int i = s.from; i < before && (i < high || i == s.from); ++i)
        s.weight.push_back(std::max(0.0, std::min(high, i + 1.0) - std::max(low, static_cast<double>(i))) / step);
    return s;
}

}  // namespace

Srgb8Image scaledTo(const Srgb8Image& image, int width_px) {
    Srgb8Image out;
    out.width_px = width_px;
    out.height_px = std::max(1, static_cast<int>(std::lround(static_cast<double>(image.height_px) * width_px / image.width_px)));
    out.rgb.reserve(3U * static_cast<std::size_t>(out.width_px) * static_cast<std::size_t>(out.height_px));
    for (int y = 0; y < out.height_px; ++y) {
        const Share rows = shareOf(y, image.height_px, out.height_px);
        for (int x = 0; x < out.width_px; ++x) {
            const Share columns = shareOf(x, image.width_px, out.width_px);
            glm::dvec3 light(0.0);
            for (std::size_t r = 0; r < rows.weight.size(); ++r)
                for (std::size_t c = 0; c < columns.weight.size(); ++c) {
                    const std::size_t row = static_cast<std::size_t>(rows.from) + r;
                    const std::uint8_t* p = &image.rgb[3 * (row * static_cast<std::size_t>(image.width_px) + static_cast<std::size_t>(columns.from) + c)];
                    light += rows.weight[r] * columns.weight[c] * glm::dvec3(linearOfCode()[p[0]], linearOfCode()[p[1]], linearOfCode()[p[2]]);
                }
            for (const int code : srgbCodes(light)) out.rgb.push_back(static_cast<std::uint8_t>(code));
        }
    }
    return out;
}

}  // namespace keyfall
