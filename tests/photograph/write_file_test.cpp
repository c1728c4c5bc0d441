// Where bytes go: a link stays a link, a pipe stays a pipe. Not here: whole files or none under a
// full disk (png_test.cpp, exr_test.cpp).
#include "renderer/photograph/write_file.h"

#include <sys/stat.h>

#include <thread>

#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;
namespace syn = keyfall::synthetic;

namespace {

void writeText(const fs::path& target, const std::string& text) {
    writeWhole(target, [&](const fs::path& part) { std::ofstream(part) << text; });
}

std::string read(const fs::path& file) {
    std::ostringstream text;
    text << std::ifstream(file).rdbuf();
    return text.str();
}

std::size_t countIn(const fs::path& folder) {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), {}));
}

}  // namespace

TEST_CASE("a symbolic link keeps standing, what it names is written", "[write]") {
    const syn::TemporaryDirectory dir;
    fs::create_directory(dir.path / "there");
    std::ofstream(dir.path / "there" / "a.txt") << "old";
    fs::create_symlink("there/a.txt", dir.path / "link");
    fs::create_symlink("link", dir.path / "link-to-link");
    writeText(dir.path / "link-to-link", "new");
    CHECK(fs::is_symlink(dir.path / "link"));
    CHECK(fs::is_symlink(dir.path / "link-to-link"));
    CHECK(read(dir.path / "there" / "a.txt") == "new");
    CHECK(countIn(dir.path / "there") == 1);

    fs::create_symlink("there/b.txt", dir.path / "to-nothing-yet");
    writeText(dir.path / "to-nothing-yet", "first");
    CHECK(read(dir.path / "there" / "b.txt") == "first");
}

TEST_CASE("links in a circle are an error that names the output", "[write]") {
    const syn::TemporaryDirectory dir;
    fs::create_symlink("b", dir.path / "a");
    fs::create_symlink("a", dir.path / "b");
    CHECK_THROWS_WITH(writeText(dir.path / "a", "x"), Contains((dir.path / "a").string()) && Contains("circle"));
    CHECK(countIn(dir.path) == 2);
}

TEST_CASE("a pipe gets the bytes and stays a pipe", "[write]") {
    const syn::TemporaryDirectory dir;
    const fs::path pipe = dir.path / "pipe";
    REQUIRE(mkfifo(pipe.c_str(), 0600) == 0);
    REQUIRE(outputTarget(pipe).stream);  // else the reader below would wait for ever
    std::string got;
    std::thread reader([&] { got = read(pipe); });
    writeText(pipe, "through");
    reader.join();
    CHECK(got == "through");
    CHECK(fs::is_fifo(pipe));
    CHECK(countIn(dir.path) == 1);
}

TEST_CASE("an open descriptor is written to, not replaced", "[write]") {
    const syn::TemporaryDirectory dir;
    const fs::path kept = dir.path / "kept.txt";
    std::FILE* open = std::fopen(kept.c_str(), "w");
    REQUIRE(open != nullptr);
    std::fputs("before, ", open);
    std::fflush(open);
    fs::create_symlink("/proc/self/fd/" + std::to_string(fileno(open)), dir.path / "link");
    CHECK(outputTarget(dir.path / "link").stream);
    writeText(dir.path / "link", "after");
    std::fclose(open);
    CHECK(fs::is_symlink(dir.path / "link"));
    CHECK(read(kept) == "before, after");
}

TEST_CASE("a write that fails into a pipe names it and leaves no temporary file", "[write]") {
    const syn::TemporaryDirectory dir;
    const fs::path pipe = dir.path / "pipe";
    REQUIRE(mkfifo(pipe.c_str(), 0600) == 0);
    fs::path temporary;
    CHECK_THROWS_AS(writeWhole(pipe,
                               [&](const fs::path& part) {
                                   temporary = part;
                                   throw std::runtime_error("no");
                               }),
                    WriteError);
    CHECK_FALSE(fs::exists(temporary));
    CHECK(fs::is_fifo(pipe));
}
