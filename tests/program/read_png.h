// A picture file as 8-bit values, and the light that they stand for. Not here: what is expected of it.
#pragma once

#include <stb/stb_image.h>

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <vector>

namespace keyfall::test {

using Pixel = std::array<int, 3>;

struct Picture8 {
    int width = 0, height = 0;
    std::vector<unsigned char> rgb;

    explicit Picture8(const std::filesystem::path& file) {
        int channels = 0;
        unsigned char* data = stbi_load(file.c_str(), &width, &height, &channels, 3);
        REQUIRE(data != nullptr);
        rgb.assign(data, data + 3L * width * height);
        stbi_image_free(data);
    }
    Pixel at(int x, int y) const {
        const auto p = 3U * static_cast<std::size_t>(y * width + x);
        return {rgb[p], rgb[p + 1], rgb[p + 2]};
    }
};

/// Linear value of an sRGB code, 0 to 1 (IEC 61966-2-1).
inline double linearOf(int code) {
    const double v = code / 255.0;
    return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}

}  // namespace keyfall::test
