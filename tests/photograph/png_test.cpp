// PNG files read back by another decoder and chunk by chunk (PNG, third edition: W3C/ISO 15948).
// Not here: what the picture shows.
#include "renderer/photograph/png.h"

#define STB_IMAGE_IMPLEMENTATION
#define STB_IMAGE_STATIC
#define STBI_ONLY_PNG
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#include <stb/stb_image.h>
#pragma GCC diagnostic pop

#include <algorithm>

#include "renderer/photograph/write_file.h"
#include "tests/photograph/small_disk.h"
#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::Contains;
namespace syn = keyfall::synthetic;

namespace {

Srgb8Image pattern(int width, int height) {
    Srgb8Image image{width, height, {}};
    for (int i = 0; i < 3 * width * height; ++i)
        image.rgb.push_back(static_cast<std::uint8_t>((i * 37 + i / 7) % 256));
    return image;
}

std::string bytesOf(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

struct Chunk {
    std::string type;
    std::string data;
};

/// Signature, then length (big endian), type, data, CRC.
std::vector<Chunk> chunksOf(const std::string& png) {
    REQUIRE(png.substr(0, 8) == "\x89PNG\r\n\x1a\n");
    std::vector<Chunk> out;
    for (std::size_t at = 8; at + 12 <= png.size();) {
        std::size_t length = 0;
        for (std::size_t i = 0; i < 4; ++i)
            length = length * 256 + static_cast<unsigned char>(png[at + i]);
        out.push_back({png.substr(at + 4, 4), png.substr(at + 8, length)});
        at += 12 + length;
    }
    return out;
}

const Chunk* find(const std::vector<Chunk>& chunks, const std::string& type) {
    const auto at =
        std::find_if(chunks.begin(), chunks.end(), [&](const Chunk& c) { return c.type == type; });
    return at == chunks.end() ? nullptr : &*at;
}

}  // namespace

TEST_CASE("a PNG read by another decoder has the same pixels, red first, top row first", "[png]") {
    const syn::TemporaryDirectory dir;
    const Srgb8Image image = pattern(13, 7);
    writePng(dir.path / "a.png", image, {});
    int width = 0;
    int height = 0;
    int channels = 0;
    stbi_uc* read = stbi_load((dir.path / "a.png").c_str(), &width, &height, &channels, 0);
    REQUIRE(read != nullptr);
    CHECK(width == 13);
    CHECK(height == 7);
    CHECK(channels == 3);
    CHECK(std::equal(image.rgb.begin(), image.rgb.end(), read));
    stbi_image_free(read);
}

TEST_CASE("a PNG says that it is sRGB and carries the settings before its pixels", "[png]") {
    const syn::TemporaryDirectory dir;
    const auto path = dir.path / "a.png";
    writePng(path, pattern(3, 3),
             {{"Software", "keyfall"}, {"Comment", "caf\xc3\xa9, 2 lines\nf/11"}});
    const auto chunks = chunksOf(bytesOf(path));
    REQUIRE(find(chunks, "sRGB") != nullptr);
    CHECK(find(chunks, "sRGB")->data == std::string(1, '\x01'));  // relative colorimetric
    // 1/2.2 as gAMA 45455 (11.3.2.5: recommended beside sRGB).
    REQUIRE(find(chunks, "gAMA") != nullptr);
    CHECK(find(chunks, "gAMA")->data == std::string("\x00\x00\xb1\x8f", 4));
    REQUIRE(find(chunks, "tEXt") != nullptr);
    CHECK(find(chunks, "tEXt")->data == std::string("Software\0keyfall", 16));
    // keyword, 0, compression flag and method, language, 0, translated keyword, 0, UTF-8 text
    REQUIRE(find(chunks, "iTXt") != nullptr);
    CHECK(find(chunks, "iTXt")->data ==
          std::string("Comment\0\0\0\0\0", 12) + "caf\xc3\xa9, 2 lines\nf/11");
    CHECK(find(chunks, "tEXt") < find(chunks, "IDAT"));
    CHECK(find(chunks, "tIME") == nullptr);
}

TEST_CASE("the same picture is the same bytes", "[png]") {
    const syn::TemporaryDirectory dir;
    writePng(dir.path / "a.png", pattern(9, 9), {{"Title", "x"}});
    writePng(dir.path / "b.png", pattern(9, 9), {{"Title", "x"}});
    CHECK(bytesOf(dir.path / "a.png") == bytesOf(dir.path / "b.png"));
}

TEST_CASE("a PNG that cannot be written names its path and leaves nothing behind", "[png]") {
    const syn::TemporaryDirectory dir;
    const auto missing = dir.path / "no-such-place" / "a.png";
    CHECK_THROWS_AS(writePng(missing, pattern(3, 3), {}), WriteError);
    CHECK_THROWS_WITH(writePng(missing, pattern(3, 3), {}),
                      Contains(missing.string()) && Contains("could not be written") &&
                          Contains("No such file or directory"));
    CHECK(dir.empty());

    // A directory stands where the file should go: fails at the rename, after a whole file.
    std::filesystem::create_directory(dir.path / "b.png");
    CHECK_THROWS_WITH(writePng(dir.path / "b.png", pattern(3, 3), {}),
                      Contains("b.png: could not"));
    std::filesystem::remove(dir.path / "b.png");
    CHECK(dir.empty());
}

TEST_CASE("a disk that fills up keeps the old PNG and leaves no part", "[png]") {
    const syn::TemporaryDirectory dir;
    const auto path = dir.path / "a.png";
    writePng(path, pattern(3, 3), {});
    const std::string before = bytesOf(path);
    {
        const syn::SmallDisk full(512);
        CHECK_THROWS_AS(writePng(path, pattern(300, 300), {}), WriteError);
        // Small enough to wait in the buffer: only closing the file tells.
        CHECK_THROWS_AS(writePng(path, pattern(17, 17), {}), WriteError);
    }
    CHECK(bytesOf(path) == before);
    CHECK(std::distance(std::filesystem::directory_iterator(dir.path), {}) == 1);
}

TEST_CASE("a keyword that PNG does not allow is an error, not a file without it", "[png]") {
    const syn::TemporaryDirectory dir;
    CHECK_THROWS_AS(writePng(dir.path / "a.png", pattern(3, 3), {{"", "text"}}), WriteError);
    CHECK(dir.empty());
}
