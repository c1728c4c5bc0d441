// OpenEXR by its own library, which sorts channels by name. Not here: the meaning (exr.h).
#include "renderer/photograph/exr.h"

#include <OpenEXR/ImfChannelList.h>
#include <OpenEXR/ImfChromaticities.h>
#include <OpenEXR/ImfFloatAttribute.h>
#include <OpenEXR/ImfFrameBuffer.h>
#include <OpenEXR/ImfHeader.h>
#include <OpenEXR/ImfOutputFile.h>
#include <OpenEXR/ImfStandardAttributes.h>
#include <OpenEXR/ImfStdIO.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <fstream>

#include "renderer/photograph/develop.h"
#include "renderer/photograph/write_file.h"
#include "scene/colour.h"

namespace keyfall {
namespace {

constexpr double kLargestHalf = 65504.0;  // (2 - 2^-10) * 2^15, IEEE 754 binary16
constexpr std::array<const char*, 3> kChannel{"R", "G", "B"};

/// One layer's three channels, interleaved.
struct HalfLayer {
    std::string prefix;  ///< "" for the sum, else "light.key."
    std::vector<Imath::half> rgb;
};

std::string prefixOf(const LayerInfo& layer) {
    return layer.kind == LayerKind::light ? "light." + layer.name + "." : layer.name + ".";
}

HalfLayer toHalf(const XyzImage& image, std::string prefix, double scale, std::size_t& clamped) {
    const glm::dmat3 toRgb = scale * linearSrgbFromXyz();
    HalfLayer out{std::move(prefix), {}};
    out.rgb.reserve(image.pixel.size() * 3);
    for (const glm::dvec3& xyz : image.pixel) {
        const glm::dvec3 rgb = toRgb * xyz;
        for (int c = 0; c < 3; ++c) {
            const double limited = std::clamp(rgb[c], -kLargestHalf, kLargestHalf);
            if (limited != rgb[c]) ++clamped;
            out.rgb.emplace_back(static_cast<float>(limited));
        }
    }
    return out;
}

std::vector<HalfLayer> halfLayers(const Film& film, const std::vector<LayerMix>& mix, double scale,
                                  std::size_t& clamped) {
    std::vector<HalfLayer> layers;
    layers.push_back(toHalf(develop(film, mix), "", scale, clamped));
    for (std::size_t l = 0; l < mix.size(); ++l)
        layers.push_back(
            toHalf(developLayer(film, l, mix[l]), prefixOf(film.layers()[l]), scale, clamped));
    return layers;
}

std::string commentsOf(const ExrSettings& s, double white_cdsm2) {
    return fmt::format(
        "{}{}Linear Rec. 709 primaries, white D65, no white balance. R G B is the sum, each layer "
        "one light as set. Luminous energy in cd*s/m^2 = (0.2126 R + 0.7152 G + 0.0722 B) * {}; "
        "divided by expTime it is the mean luminance in cd/m^2, so (1, 1, 1) is whiteLuminance = "
        "{} cd/m^2. Picture value = RGB * {}.",
        s.title, s.title.empty() ? "" : "\n", white_cdsm2, white_cdsm2 / s.shutter_s,
        s.pictureFactor * white_cdsm2);
}

Imf::Header headerOf(const Film& film, const ExrSettings& s, double white_cdsm2) {
    Imf::Header header(film.width(), film.height());
    header.compression() = Imf::ZIP_COMPRESSION;
    // The default of Chromaticities is Rec. 709 with D65 at (0.3127, 0.3290).
    Imf::addChromaticities(header, Imf::Chromaticities());
    Imf::addWhiteLuminance(header, static_cast<float>(white_cdsm2 / s.shutter_s));
    const Chromaticity neutral = chromaticity(s.white.y > 0.0 ? s.white : whiteD65());
    Imf::addAdoptedNeutral(
        header, Imath::V2f(static_cast<float>(neutral.x), static_cast<float>(neutral.y)));
    Imf::addExpTime(header, static_cast<float>(s.shutter_s));
    Imf::addAperture(header, static_cast<float>(s.aperture));
    Imf::addIsoSpeed(header, static_cast<float>(s.iso));
    Imf::addFocus(header, static_cast<float>(s.focus_m));
    Imf::addComments(header, commentsOf(s, white_cdsm2));
    header.insert("keyfallWhite_cdsm2", Imf::FloatAttribute(static_cast<float>(white_cdsm2)));
    header.insert("keyfallPictureFactor",
                  Imf::FloatAttribute(static_cast<float>(s.pictureFactor * white_cdsm2)));
    return header;
}

void writeLayers(const std::filesystem::path& path, Imf::Header header,
                 std::vector<HalfLayer>& layers) {
    Imf::FrameBuffer frame;
    const auto width = static_cast<std::size_t>(header.dataWindow().max.x + 1);
    constexpr std::size_t pixelBytes = 3 * sizeof(Imath::half);
    for (HalfLayer& layer : layers)
        for (std::size_t c = 0; c < 3; ++c) {
            const std::string name = layer.prefix + kChannel[c];
            header.channels().insert(name, Imf::Channel(Imf::HALF));
            frame.insert(name, Imf::Slice(Imf::HALF, reinterpret_cast<char*>(layer.rgb.data() + c),
                                          pixelBytes, width * pixelBytes));
        }
    // Our own stream, because the library closes a file it opened itself without looking at the
    // outcome: a full disk would pass for a written picture.
    std::ofstream stream(path, std::ios::binary);
    if (!stream) throw std::runtime_error(std::strerror(errno));
    Imf::StdOFStream out(stream, path.c_str());
    {
        // No threads: the encoder's own pool would be a second one beside TBB's.
        Imf::OutputFile file(out, header, 0);
        file.setFrameBuffer(frame);
        file.writePixels(header.dataWindow().max.y + 1);
    }
    stream.close();
    if (!stream) throw std::runtime_error("the disk took only a part of it");
}

}  // namespace

double exrWhite_cdsm2(double pictureFactor) {
    return std::exp2(-std::round(std::log2(pictureFactor)));
}

ExrResult writeExr(const std::filesystem::path& path, const Film& film,
                   const std::vector<LayerMix>& mix, const ExrSettings& settings) {
    ExrResult result;
    result.white_cdsm2 = exrWhite_cdsm2(settings.pictureFactor);
    std::vector<HalfLayer> layers = halfLayers(film, mix, 1.0 / result.white_cdsm2, result.clamped);
    writeWhole(path, [&](const std::filesystem::path& part) {
        writeLayers(part, headerOf(film, settings, result.white_cdsm2), layers);
    });
    return result;
}

}  // namespace keyfall
