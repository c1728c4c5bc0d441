#include "page_layers.h"

#include <turbojpeg.h>
#include <zlib.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <stdexcept>

#include "scene/colour.h"

namespace keyfall {
namespace {

constexpr double kCodesPerStop = 64.0;
constexpr double kLeast_stops = -14.0;

std::uint16_t codeOf(double linear) {
    if (!(linear > 0.0)) return 0;
    const double code = 1.0 + std::round(kCodesPerStop * (std::log2(linear) - kLeast_stops));
    return static_cast<std::uint16_t>(code < 1.0 ? 0.0 : std::min(code, 65535.0));
}

double linearOf(std::uint16_t code) {
    return code == 0 ? 0.0 : std::exp2((code - 1.0) / kCodesPerStop + kLeast_stops);
}

/// Each value of a smaller image is the mean of up to four of the larger one, three values a pixel.
template <class Value, class Linear, class Code>
std::vector<Value> meansOf4(const std::vector<Value>& from, int width, int height, Linear linear, Code code) {
    const int w = (width + 1) / 2, h = (height + 1) / 2;
    std::vector<Value> to(3 * static_cast<std::size_t>(w) * static_cast<std::size_t>(h));
    const auto at = [&](int x, int y, std::size_t c) {
        const auto xx = static_cast<std::size_t>(std::min(x, width - 1)),
                   yy = static_cast<std::size_t>(std::min(y, height - 1));
        return linear(from[3 * (yy * static_cast<std::size_t>(width) + xx) + c]);
    };
    std::size_t out = 0;
    for (int y = 0; y < h; ++y)
        for (int x = 0; x < w; ++x)
            for (std::size_t c = 0; c < 3; ++c)
                to[out++] = code(0.25 * (at(2 * x, 2 * y, c) + at(2 * x + 1, 2 * y, c) +
                                         at(2 * x, 2 * y + 1, c) + at(2 * x + 1, 2 * y + 1, c)));
    return to;
}

/// The six planes of bytes that packed() tells of.
std::vector<std::uint8_t> bytePlanes(const LayerCodes& layer) {
    const auto width = static_cast<std::size_t>(layer.width_px);
    const std::size_t pixels = width * static_cast<std::size_t>(layer.height_px);
    std::vector<std::uint8_t> bytes(6 * pixels);
    for (std::size_t plane = 0; plane < 3; ++plane) {
        unsigned left = 0;
        for (std::size_t p = 0; p < pixels; ++p) {
            const std::uint16_t* rgb = &layer.code[3 * p];
            const unsigned value = plane == 0 ? rgb[1] : plane == 1 ? rgb[0] - rgb[1] : rgb[2] - rgb[1];
            const unsigned step = (p % width == 0 ? value : value - left) & 0xffffU;
            left = value;
            bytes[2 * plane * pixels + p] = static_cast<std::uint8_t>(step >> 8U);
            bytes[(2 * plane + 1) * pixels + p] = static_cast<std::uint8_t>(step & 0xffU);
        }
    }
    return bytes;
}

}  // namespace

LayerCodes layerCodes(const LinearImage& layer) {
    LayerCodes out{layer.width_px, layer.height_px, {}};
    out.code.reserve(3 * layer.pixel.size());
    for (const glm::dvec3& v : layer.pixel)
        for (int c = 0; c < 3; ++c) out.code.push_back(codeOf(v[c]));
    return out;
}

LayerCodes halved(const LayerCodes& layer) {
    return {(layer.width_px + 1) / 2, (layer.height_px + 1) / 2,
            meansOf4(layer.code, layer.width_px, layer.height_px, linearOf, codeOf)};
}

Srgb8Image halved(const Srgb8Image& image) {
    const auto linear = [](std::uint8_t code) { return decodeSrgb(code / 255.0); };
    const auto code = [](double v) { return static_cast<std::uint8_t>(std::lround(255.0 * encodeSrgb(v))); };
    return {(image.width_px + 1) / 2, (image.height_px + 1) / 2,
            meansOf4(image.rgb, image.width_px, image.height_px, linear, code)};
}

std::string packed(const LayerCodes& layer) {
    const std::vector<std::uint8_t> bytes = bytePlanes(layer);
    uLongf size = compressBound(static_cast<uLong>(bytes.size()));
    std::vector<std::uint8_t> small(size);
    if (compress2(small.data(), &size, bytes.data(), static_cast<uLong>(bytes.size()), 6) != Z_OK)
        throw std::runtime_error("a layer of the page could not be packed");
    return base64(small.data(), size);
}

std::string jpegUri(const Srgb8Image& image, int quality) {
    const std::unique_ptr<void, int (*)(void*)> encoder(tjInitCompress(), tjDestroy);
    unsigned char* bytes = nullptr;
    unsigned long count = 0;
    const bool done =
        encoder && tjCompress2(encoder.get(), image.rgb.data(), image.width_px, 0, image.height_px, TJPF_RGB,
                               &bytes, &count, TJSAMP_444, quality, TJFLAG_ACCURATEDCT) == 0;
    const std::unique_ptr<unsigned char, void (*)(unsigned char*)> owner(bytes, tjFree);
    if (!done) throw std::runtime_error("a picture of the page could not be packed");
    return "data:image/jpeg;base64," + base64(bytes, count);
}

std::string base64(const std::uint8_t* bytes, std::size_t count) {
    static constexpr char kLetters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string text;
    text.reserve((count + 2) / 3 * 4);
    for (std::size_t i = 0; i < count; i += 3) {
        const auto at = [&](std::size_t k) {
            return i + k < count ? static_cast<unsigned>(bytes[i + k]) : 0U;
        };
        const unsigned word = at(0) << 16U | at(1) << 8U | at(2);
        for (unsigned k = 0; k < 4; ++k)
            text += i + k > count ? '=' : kLetters[(word >> (18U - 6U * k)) & 63U];
    }
    return text;
}

}  // namespace keyfall
