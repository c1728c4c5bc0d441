// Straight and soft view, 8-bit codes. Not here: the sRGB curve itself (scene/colour.h).
#include "renderer/photograph/view.h"

#include <algorithm>
#include <cmath>

#include "renderer/film/parallel.h"
#include "scene/colour.h"

namespace keyfall {
namespace {

/// Nearest code of a linear value; `dither` in codes, within (-1/2, 1/2).
int codeOf(double linear, double dither = 0.0) {
    const double code = 255.0 * encodeSrgb(linear) + dither;
    return static_cast<int>(std::clamp(std::floor(code + 0.5), 0.0, 255.0));
}

/// Bayer's 8x8 ordered pattern as an offset in codes: (rank + 1/2)/64 - 1/2, so within
/// (-1/2, 1/2) and with mean 0. The rank interleaves the bits of x^y and y, lowest bit first.
/// Source: Bayer, "An optimum method for two-level rendition of continuous-tone pictures", IEEE
/// ICC 1973 (pattern; from memory).
double orderedDither_codes(int x, int y) {
    unsigned rank = 0;
    for (unsigned bit = 0; bit < 3; ++bit) {
        const unsigned a = (static_cast<unsigned>(x ^ y) >> bit) & 1U;
        const unsigned b = (static_cast<unsigned>(y) >> bit) & 1U;
        rank = (rank << 2U) | (a << 1U) | b;
    }
    return (rank + 0.5) / 64.0 - 0.5;
}

}  // namespace

double softShoulder(double linear) {
    if (linear <= kSoftKnee) return linear;
    constexpr double room = 1.0 - kSoftKnee;
    return kSoftKnee + room * std::tanh((linear - kSoftKnee) / room);
}

glm::dvec3 softView(glm::dvec3 linear) {
    const double largest = std::max({linear.x, linear.y, linear.z});
    if (largest <= kSoftKnee) return linear;
    return linear * (softShoulder(largest) / largest);
}

Srgb8Image renderView(const LinearImage& image, View view) {
    Srgb8Image out;
    out.width_px = image.width_px;
    out.height_px = image.height_px;
    out.rgb.resize(image.pixel.size() * 3);
    parallelFor(image.height_px, [&](int y) {
        for (int x = 0; x < image.width_px; ++x) {
            const bool soft = view == View::soft;
            const glm::dvec3 colour = soft ? softView(image.at(x, y)) : image.at(x, y);
            const double dither = soft ? orderedDither_codes(x, y) : 0.0;
            const std::size_t first =
                3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(image.width_px) +
                     static_cast<std::size_t>(x));
            for (int c = 0; c < 3; ++c)
                out.rgb[first + static_cast<std::size_t>(c)] =
                    static_cast<std::uint8_t>(codeOf(colour[c], dither));
        }
    });
    return out;
}

std::array<int, 3> srgbCodes(glm::dvec3 linear) {
    return {codeOf(linear.x), codeOf(linear.y), codeOf(linear.z)};
}

std::array<int, 3> srgbCodesOfXyz(glm::dvec3 xyz_cdsm2, double factor, glm::dvec3 white) {
    return srgbCodes(factor * (balancedSrgbFromXyz(white) * xyz_cdsm2));
}

glm::dvec3 meanOfPatch(const LinearImage& image, int x0, int y0, int x1, int y1) {
    x0 = std::max(x0, 0);
    y0 = std::max(y0, 0);
    x1 = std::min(x1, image.width_px);
    y1 = std::min(y1, image.height_px);
    if (x0 >= x1 || y0 >= y1) return glm::dvec3(0.0);
    glm::dvec3 sum(0.0);
    for (int y = y0; y < y1; ++y)
        for (int x = x0; x < x1; ++x) sum += image.at(x, y);
    return sum / (static_cast<double>(x1 - x0) * static_cast<double>(y1 - y0));
}

}  // namespace keyfall
