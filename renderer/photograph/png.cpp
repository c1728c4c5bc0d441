// PNG by libpng. Not here: the atomic rename (write_file.h).
#include "renderer/photograph/png.h"

#include <png.h>

#include <algorithm>
#include <cerrno>
#include <csetjmp>
#include <cstdio>
#include <cstring>
#include <memory>

#include "renderer/photograph/write_file.h"

namespace keyfall {
namespace {

struct FileCloser {
    void operator()(std::FILE* f) const { std::fclose(f); }
};

/// Frees libpng's state on every way out.
struct PngWriter {
    png_structp png = nullptr;
    png_infop info = nullptr;
    char error[256] = "out of memory";

    PngWriter();
    ~PngWriter() { png_destroy_write_struct(&png, &info); }
    PngWriter(const PngWriter&) = delete;
    PngWriter& operator=(const PngWriter&) = delete;
};

[[noreturn]] void onPngError(png_structp png, png_const_charp message) {
    auto* text = static_cast<char*>(png_get_error_ptr(png));
    std::snprintf(text, sizeof PngWriter::error, "%s", message);
    png_longjmp(png, 1);
}

void onPngWarning(png_structp, png_const_charp) {}

PngWriter::PngWriter() {
    png = png_create_write_struct(PNG_LIBPNG_VER_STRING, error, onPngError, onPngWarning);
    if (png != nullptr) info = png_create_info_struct(png);
    if (info == nullptr) {
        png_destroy_write_struct(&png, nullptr);
        throw std::bad_alloc();
    }
}

bool isAscii(const std::string& text) {
    return std::all_of(text.begin(), text.end(),
                       [](char c) { return static_cast<unsigned char>(c) < 128; });
}

/// libpng's view of the texts; the strings have to outlive it.
std::vector<png_text> pngTexts(std::vector<PngText>& texts) {
    std::vector<png_text> out;
    for (PngText& t : texts) {
        png_text text{};
        text.key = t.keyword.data();
        text.text = t.text.data();
        if (isAscii(t.text)) {
            text.compression = PNG_TEXT_COMPRESSION_NONE;
            text.text_length = t.text.size();
        } else {
            text.compression = PNG_ITXT_COMPRESSION_NONE;
            text.itxt_length = t.text.size();
        }
        out.push_back(text);
    }
    return out;
}

/// The part that libpng may leave by longjmp: plain types only, so that no destructor is skipped.
/// False when libpng reported an error.
bool encode(PngWriter& w, std::FILE* file, const Srgb8Image& image, const png_text* texts,
            int textCount) {
    if (setjmp(png_jmpbuf(w.png)) != 0) return false;
    png_init_io(w.png, file);
    png_set_IHDR(w.png, w.info, static_cast<png_uint_32>(image.width_px),
                 static_cast<png_uint_32>(image.height_px), 8, PNG_COLOR_TYPE_RGB,
                 PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    png_set_sRGB_gAMA_and_cHRM(w.png, w.info, PNG_sRGB_INTENT_RELATIVE);
    if (textCount > 0) png_set_text(w.png, w.info, texts, textCount);
    png_write_info(w.png, w.info);
    const std::size_t rowBytes = 3 * static_cast<std::size_t>(image.width_px);
    for (int y = 0; y < image.height_px; ++y)
        png_write_row(w.png, image.rgb.data() + static_cast<std::size_t>(y) * rowBytes);
    png_write_end(w.png, w.info);
    return true;
}

}  // namespace

void writePng(const std::filesystem::path& path, const Srgb8Image& image,
              const std::vector<PngText>& texts) {
    writeWhole(path, [&](const std::filesystem::path& part) {
        std::vector<PngText> kept = texts;  // libpng's structure wants char*, not const char*
        const std::vector<png_text> list = pngTexts(kept);
        std::unique_ptr<std::FILE, FileCloser> file(std::fopen(part.c_str(), "wb"));
        if (!file) throw std::runtime_error(std::strerror(errno));
        PngWriter writer;
        if (!encode(writer, file.get(), image, list.data(), static_cast<int>(list.size())))
            throw std::runtime_error(writer.error);
        // A full disk may show only when the last buffer is flushed.
        if (std::fclose(file.release()) != 0) throw std::runtime_error(std::strerror(errno));
    });
}

}  // namespace keyfall
