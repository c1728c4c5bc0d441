#include "scene/photometry_file.h"

#include <algorithm>
#include <cctype>
#include <fstream>
#include <sstream>

namespace keyfall {

namespace {

// A web of a degree by a degree is half a megabyte.
constexpr std::uintmax_t kLargest_bytes = 64U << 20U;

std::string contentOf(const std::filesystem::path& file) {
    std::error_code problem;
    if (!std::filesystem::exists(file, problem))
        throw PhotometryError(
            0, 0, "there is no such file; it is taken from the scene file's place; check the path");
    if (!std::filesystem::is_regular_file(file, problem))
        throw PhotometryError(0, 0,
                              "this is no file; needed: an .ies or .ldt file; check the path");
    if (std::filesystem::file_size(file, problem) > kLargest_bytes || problem)
        throw PhotometryError(
            0, 0, "the file is larger than 64 MB; no photometric file is; check the path");
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    // An empty file sets failbit on `text`, not on `in`.
    if (!in) throw PhotometryError(0, 0, "the file cannot be read; check its permissions");
    return text.str();
}

}  // namespace

PhotometricWeb readPhotometry(const std::filesystem::path& file) {
    std::string ending = file.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    if (ending != ".ies" && ending != ".ldt")
        throw PhotometryError(
            0, 0,
            "a photometric file ends with .ies (LM-63) or .ldt (EULUMDAT); the name says which "
            "of them to read; rename it");
    const std::string text = contentOf(file);
    PhotometricWeb web = ending == ".ies" ? parseLm63(text) : parseEulumdat(text);
    web.file = file.filename().string();
    return web;
}

}  // namespace keyfall
