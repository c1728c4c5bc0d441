// What the program does to files that are there already: nothing by accident.
#include <catch2/catch.hpp>

#include <cstdlib>

#include "run_program.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

const std::string kSet = kBallSet + R"(
[[probe]]
name = "top"
at = [0, 12, 0]
normal = [0, 1, 0]
)";

fs::path folderWithSet(const std::string& name) { return folderWith(name, kSet); }

bool warnsOf(const fs::path& report, const std::string& code) {
    return !warning(nlohmann::json::parse(textOf(report)), code).empty();
}

}  // namespace

TEST_CASE("two outputs of one name are a mistake of the command line", "[program]") {
    const fs::path folder = folderWithSet("same-outputs");
    fs::create_symlink("a.png", folder / "link");
    for (const char* outputs : {"--out a.png --exr a.png", "--out a.png --json ./a.png", "--out a.png --exr link"}) {
        const Outcome o = runProgram(std::string("render set.toml --samples 4 ") + outputs, folder);
        INFO(outputs << "\n" << o.err);
        CHECK(o.exitCode == 2);
        CHECK_THAT(o.err, Contains("is the same file as --out"));
        CHECK_FALSE(fs::exists(folder / "a.png"));
    }
}

TEST_CASE("no output replaces the scene", "[program]") {
    const fs::path folder = folderWithSet("over-scene");
    fs::create_hard_link(folder / "set.toml", folder / "other-name.toml");
    for (const char* command : {"meter set.toml --json set.toml", "meter set.toml --json other-name.toml",
                                "render set.toml --samples 4 --out ./set.toml"}) {
        const Outcome o = runProgram(command, folder);
        INFO(command << "\n" << o.err);
        CHECK(o.exitCode == 2);
        CHECK_THAT(o.err, Contains("is the same file as the scene"));
        CHECK(textOf(folder / "set.toml") == kSet);
    }
}

TEST_CASE("a pipe that stands for an output is written to", "[program]") {
    const fs::path folder = folderWithSet("pipe");
    // The reader gives up after a while, so that a program that never writes fails the test.
    const std::string line = "cd '" + folder.string() + "' && mkfifo p.json && { timeout 60 cat p.json >got.json & } && '" +
                             program() + "' meter set.toml --quiet --json p.json; wait";
    REQUIRE(std::system(line.c_str()) == 0);
    CHECK(fs::is_fifo(folder / "p.json"));
    CHECK(nlohmann::json::parse(textOf(folder / "got.json"), nullptr, false).is_object());
}

TEST_CASE("a file name that is not UTF-8 does not spoil the report", "[program]") {
    const fs::path folder = folderWithSet("latin-1");
    const std::string name = "caf\xe9.toml";  // Latin-1
    fs::rename(folder / "set.toml", folder / name);
    const Outcome o = runProgram("render '" + name + "' --samples 4 --out a.png --json a.json", folder);
    INFO(o.err);
    CHECK(o.exitCode == 0);
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"), nullptr, false);
    REQUIRE(report.is_object());
    CHECK(report.at("scene") == "caf\xef\xbf\xbd.toml");  // U+FFFD stands for what is no UTF-8
}

TEST_CASE("a picture larger than memory is the scene's mistake", "[program]") {
    const fs::path folder = folderWithSet("too-large");
    std::string many = kSet;
    for (int i = 0; i < 40; ++i)  // 42 layers of 32768 x 21845 pixels: 2.5 TB
        many += "[[light]]\nname = \"l" + std::to_string(i) +
                "\"\nkind = \"flash\"\nlamp = \"flash-bulb\"\nlumen_seconds = 1\nat = [" + std::to_string(50 + 5 * i) + ", 50, 0]\naim = [0, 5, 0]\n";
    write(folder / "set.toml", many);
    const Outcome o = runProgram("render set.toml --set picture.width=32768", folder);
    INFO(o.err);
    CHECK(o.exitCode == 3);
    CHECK_THAT(o.err, Contains("set.toml: error: the picture wants") && Contains("are free") && Contains("picture.width"));
    CHECK_THAT(o.err, !Contains("internal"));
    CHECK_FALSE(fs::exists(folder / "set.png"));
}

TEST_CASE("memory that runs out on the way is no internal error either", "[program]") {
    if (programIsSanitized()) return;
    const fs::path folder = folderWithSet("no-memory");
    const Outcome o = runProgram("render set.toml --threads 1 --samples 4 --set picture.width=9000", folder,
                                 "ulimit -v 2000000 &&");  // kB; the film alone wants 5 GB
    INFO(o.err);
    CHECK(o.exitCode == 3);
    CHECK_THAT(o.err, Contains("set.toml: error: ") && Contains("memory") && Contains("picture.width"));
    CHECK_THAT(o.err, !Contains("internal"));
}

TEST_CASE("stopped before the first whole pass, an older picture stays", "[program][long]") {
    const fs::path folder = folderWithSet("no-pass");
    write(folder / "a.png", "an older picture");
    const Outcome o = runProgram("render set.toml --samples 65536 --threads 1 --set picture.width=3000 "
                                 "--out a.png --exr a.exr --json a.json",
                                 folder, "timeout --foreground --preserve-status -s INT 4");
    INFO(o.err);
    CHECK(o.exitCode == 6);
    CHECK(textOf(folder / "a.png") == "an older picture");
    CHECK_FALSE(fs::exists(folder / "a.exr"));
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(report.at("stopped") == "interrupted");
    CHECK_FALSE(report.contains("picture"));
    CHECK_THAT(o.err, Contains("no picture is written"));
}

TEST_CASE("light that half floats cannot hold is told", "[program]") {
    // A bulb of 1 cm in the frame: Q = Phi_t / (pi^2 d^2) = 3e6 / (9.87 * 1e-4) = 3e9 cd s/m^2,
    // 4e7 times the luminance of white at f/11, ISO 100 (C N^2 / (pi S) = 102).
    const fs::path folder = folderWithSet("exr-clamp");
    const std::string spark = "[lamp.spark]\nshape = \"sphere\"\nsize = [1]\n";
    std::string text = kSet;
    text.replace(text.find("flash-bulb"), 10, "spark");
    text.replace(text.find("around = "), text.find("[[probe]]") - text.find("around = "), "at = [8, 14, 0]\naim = [0, 5, 0]\n");
    text.replace(text.find("= 3000"), 6, "= 3000000");
    write(folder / "set.toml", text + spark);
    const Outcome o = runProgram("render set.toml --samples 16 --out a.png --exr a.exr --json a.json", folder);
    INFO(o.err);
    REQUIRE(o.exitCode == 0);
    CHECK(warnsOf(folder / "a.json", "exr-clamped"));
    CHECK_THAT(o.out, Contains("values of the EXR are beyond"));
    REQUIRE(runProgram("render set.toml --samples 16 --out a.png --json b.json", folder).exitCode == 0);
    CHECK_FALSE(warnsOf(folder / "b.json", "exr-clamped"));
}
