// OpenEXR files read back by the format's own library: channels, absolute luminance, precision.
// Reference: OpenEXR's standard attributes and its RGBtoXYZ. Not here: the layers' sum in memory.
#include <catch2/catch.hpp>

#if !__has_include(<ImathMatrix.h>)
// Never skipped in silence: the reader's headers come with the target OpenEXR::OpenEXR.
TEST_CASE("EXR: link OpenEXR::OpenEXR to test_photograph", "[exr]") {
    FAIL("tests/CMakeLists.txt: keyfall_tests(photograph keyfall_photograph OpenEXR::OpenEXR)");
}
#else

#include "renderer/photograph/exr.h"

#include <OpenEXR/ImfArray.h>
#include <OpenEXR/ImfChannelList.h>
#include <OpenEXR/ImfChromaticities.h>
#include <OpenEXR/ImfFloatAttribute.h>
#include <OpenEXR/ImfFrameBuffer.h>
#include <OpenEXR/ImfInputFile.h>
#include <OpenEXR/ImfRgbaFile.h>
#include <OpenEXR/ImfStandardAttributes.h>

#include "renderer/photograph/exposure.h"
#include "renderer/photograph/write_file.h"
#include "scene/colour.h"
#include "tests/photograph/small_disk.h"
#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
namespace syn = keyfall::synthetic;

namespace {

constexpr int kWidth = 6;
constexpr int kHeight = 3;

/// Greys over 10 stops by two lights of different colour, and a layer of ambient.
struct Picture3 {
    Film film;
    std::vector<LayerMix> mix;
    ExrSettings settings;

    Picture3() : film(kWidth, kHeight, layers()) {
        for (std::size_t p = 0; p < film.pixelCount(); ++p) {
            film.samplesAt(p) = syn::kSamples;
            syn::setGrey(film, 0, p, std::exp2(-0.5 * static_cast<double>(p)));
            syn::setGrey(film, 1, p, 0.01 * static_cast<double>(p + 1));
            syn::setGrey(film, 2, p, 0.003);
        }
        mix = {{320.0, bandXYZ(cieDaylight(5500))},
               {100.0, bandXYZ(planckian(3200))},
               {4.0, bandXYZ(planckian(4000))}};
        settings.pictureFactor = pictureFactor(syn::camera());
        settings.shutter_s = 1.0 / 128;
        settings.aperture = 8 * std::sqrt(2.0);
        settings.white = whiteOfTemperature(5500);
        settings.title = "a title";
    }

    static std::vector<LayerInfo> layers() {
        std::vector<LayerInfo> out(3);
        out[0].name = "key";
        out[1].name = "a-fill_2";
        out[2] = {"ambient", LayerKind::ambient, 0, {}};
        return out;
    }
};

/// One channel as floats.
std::vector<float> channel(const std::filesystem::path& path, const std::string& name) {
    Imf::InputFile file(path.c_str());
    REQUIRE(file.header().channels().findChannel(name) != nullptr);
    std::vector<float> values(kWidth * kHeight);
    Imf::FrameBuffer frame;
    frame.insert(name, Imf::Slice(Imf::FLOAT, reinterpret_cast<char*>(values.data()), sizeof(float),
                                  kWidth * sizeof(float)));
    file.setFrameBuffer(frame);
    file.readPixels(0, kHeight - 1);
    return values;
}

glm::dvec3 linear709(const XyzImage& image, std::size_t p) {
    return linearSrgbFromXyz() * image.pixel[p];
}

}  // namespace

TEST_CASE("EXR: a layer per light and the sum, in half floats, sorted by name", "[exr]") {
    const syn::TemporaryDirectory dir;
    const Picture3 p;
    writeExr(dir.path / "a.exr", p.film, p.mix, p.settings);
    const Imf::InputFile file((dir.path / "a.exr").c_str());
    std::vector<std::string> names;
    const Imf::ChannelList& list = file.header().channels();
    for (auto c = list.begin(); c != list.end(); ++c) {
        names.emplace_back(c.name());
        CHECK(c.channel().type == Imf::HALF);
    }
    // Alphabetical as the format demands, so that no reader swaps red and blue.
    CHECK(names == std::vector<std::string>{"B", "G", "R", "ambient.B", "ambient.G", "ambient.R",
                                            "light.a-fill_2.B", "light.a-fill_2.G",
                                            "light.a-fill_2.R", "light.key.B", "light.key.G",
                                            "light.key.R"});
    CHECK(file.header().compression() == Imf::ZIP_COMPRESSION);
    CHECK(file.isComplete());
}

TEST_CASE("EXR: every layer comes back within 0.001 stop", "[exr][law]") {
    // Half floats carry 11 bits: at most 2^-11 = 0.0007 stop (IEEE 754 binary16).
    const syn::TemporaryDirectory dir;
    const Picture3 p;
    const double white = writeExr(dir.path / "a.exr", p.film, p.mix, p.settings).white_cdsm2;
    const char* prefix[] = {"light.key.", "light.a-fill_2.", "ambient.", ""};
    for (std::size_t l = 0; l < 4; ++l) {
        const XyzImage layer = l < 3 ? developLayer(p.film, l, p.mix[l]) : develop(p.film, p.mix);
        for (int c = 0; c < 3; ++c) {
            const auto read = channel(dir.path / "a.exr", prefix[l] + std::string(1, "RGB"[c]));
            for (std::size_t i = 0; i < read.size(); ++i)
                CHECK(std::abs(std::log2(static_cast<double>(read[i]) * white /
                                         linear709(layer, i)[c])) <= 0.001);
        }
    }
}

TEST_CASE("EXR: a reader who knows only OpenEXR's attributes gets the luminance in cd/m2",
          "[exr][law]") {
    const syn::TemporaryDirectory dir;
    const Picture3 p;
    writeExr(dir.path / "a.exr", p.film, p.mix, p.settings);
    Imf::RgbaInputFile file((dir.path / "a.exr").c_str());
    Imf::Array2D<Imf::Rgba> pixels(kHeight, kWidth);
    file.setFrameBuffer(&pixels[0][0], 1, kWidth);
    file.readPixels(0, kHeight - 1);
    const Imf::Header& header = file.header();
    REQUIRE(Imf::hasWhiteLuminance(header));
    REQUIRE(Imf::hasChromaticities(header));
    // The library's own matrix from chromaticities and whiteLuminance to XYZ.
    const Imath::M44f toXyz =
        Imf::RGBtoXYZ(Imf::chromaticities(header), Imf::whiteLuminance(header));
    const XyzImage image = develop(p.film, p.mix);
    for (int y = 0; y < kHeight; ++y)
        for (int x = 0; x < kWidth; ++x) {
            const Imath::V3f xyz =
                Imath::V3f(pixels[y][x].r, pixels[y][x].g, pixels[y][x].b) * toXyz;
            const glm::dvec3 expected = image.at(x, y) * 128.0;  // over 1/128 s
            for (int c = 0; c < 3; ++c)
                CHECK_THAT(static_cast<double>(xyz[static_cast<unsigned>(c)]),
                           WithinRel(expected[c], 0.001));
        }
}

TEST_CASE("EXR: (1, 1, 1) is whiteLuminance, and 18 % grey lies near 0.18", "[exr][law]") {
    const Picture3 p;
    for (double iso : {50.0, 100.0, 125.99, 160.0, 800.0, 12800.0}) {
        Camera camera = syn::camera();
        camera.iso.exact = iso;
        const double factor = pictureFactor(camera);
        const double white = exrWhite_cdsm2(factor);
        CHECK(std::exp2(std::round(std::log2(white))) == white);  // a power of two
        const double grey_cdsm2 = 0.18 / factor;
        CHECK(std::abs(std::log2(grey_cdsm2 / white / 0.18)) <= 0.5 + 1e-9);
    }
    const syn::TemporaryDirectory dir;
    const double white = writeExr(dir.path / "a.exr", p.film, p.mix, p.settings).white_cdsm2;
    const Imf::InputFile file((dir.path / "a.exr").c_str());
    const Imf::Header& header = file.header();
    CHECK_THAT(static_cast<double>(Imf::whiteLuminance(header)), WithinRel(white * 128.0, 1e-6));
    CHECK(Imf::expTime(header) == 1.0F / 128);
    CHECK(Imf::isoSpeed(header) == 100.0F);
    const auto* stored = header.findTypedAttribute<Imf::FloatAttribute>("keyfallPictureFactor");
    REQUIRE(stored != nullptr);
    // stored value * attribute = picture value
    CHECK_THAT(static_cast<double>(stored->value()),
               WithinRel(p.settings.pictureFactor * white, 1e-6));
    CHECK_THAT(Imf::comments(header), Contains("a title") && Contains("cd*s/m^2"));
    // Daylight 5500 K, the working xy of D55 (CIE 15).
    CHECK_THAT(static_cast<double>(Imf::adoptedNeutral(header).x), WithinAbs(0.3324, 3e-4));
    CHECK_THAT(static_cast<double>(Imf::adoptedNeutral(header).y), WithinAbs(0.3474, 3e-4));
}

TEST_CASE("EXR: what a half cannot hold is limited to 65504 and counted", "[exr]") {
    const syn::TemporaryDirectory dir;
    Picture3 p;
    CHECK(writeExr(dir.path / "a.exr", p.film, p.mix, p.settings).clamped == 0);
    syn::setGrey(p.film, 0, 4, 1e8);
    // One pixel in the layer and in the sum, three channels each.
    CHECK(writeExr(dir.path / "a.exr", p.film, p.mix, p.settings).clamped == 6);
    CHECK(channel(dir.path / "a.exr", "light.key.G")[4] == 65504.0F);
    CHECK(channel(dir.path / "a.exr", "light.key.G")[3] < 65504.0F);
}

TEST_CASE("an EXR that cannot be written names its path and leaves nothing behind", "[exr]") {
    const syn::TemporaryDirectory dir;
    const Picture3 p;
    const auto missing = dir.path / "no-such-place" / "a.exr";
    CHECK_THROWS_AS(writeExr(missing, p.film, p.mix, p.settings), WriteError);
    CHECK_THROWS_WITH(writeExr(missing, p.film, p.mix, p.settings),
                      Contains(missing.string()) && Contains("No such file or directory"));
    CHECK(dir.empty());
    {
        const syn::SmallDisk full(512);
        CHECK_THROWS_AS(writeExr(dir.path / "a.exr", p.film, p.mix, p.settings), WriteError);
    }
    CHECK(dir.empty());
}

#endif
