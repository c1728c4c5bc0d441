// What keeps the rooms readable: files that say what they are for, of a size to read in one go,
// with one way to name them. The project's own habits; no outside source.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cctype>

#include "sources.h"

namespace keyfall::house {
namespace {


template <class Wrong>
void checkFiles(Wrong wrong) {
    std::size_t files = 0;
    for (const char* top : {"scene", "renderer", "tools", "tests"}) {
        for (const std::filesystem::path& file : sourcesOf(kRoot, top)) {
            ++files;
            INFO(file.generic_string());
            CHECK_FALSE(wrong(file));
        }
    }
    CHECK(files > 50);
}

}  // namespace

TEST_CASE("house: a file starts by saying what it is for", "[house]") {
    checkFiles([](const std::filesystem::path& file) {
        // The .cpp beside a .h of its name goes without: there the header says it.
        if (file.extension() == ".cpp" &&
            std::filesystem::exists((kRoot / file).replace_extension(".h")))
            return false;
        return readText(kRoot / file).substr(0, 3) != "// ";
    });
}

TEST_CASE("house: no file of more than 500 lines", "[house]") {
    checkFiles([](const std::filesystem::path& file) {
        const std::string text = readText(kRoot / file);
        return std::count(text.begin(), text.end(), '\n') > 500;
    });
}

TEST_CASE("house: files are named in small letters, digits and underscores", "[house]") {
    checkFiles([](const std::filesystem::path& file) {
        const std::string name = file.stem().string();
        return !std::all_of(name.begin(), name.end(), [](unsigned char c) {
            return std::islower(c) != 0 || std::isdigit(c) != 0 || c == '_';
        });
    });
}

}  // namespace keyfall::house
