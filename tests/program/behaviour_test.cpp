// How the program behaves: exit codes, whole files or none, interruption, options.
#include <catch2/catch.hpp>
#include <cstdlib>

#include "run_program.h"

using namespace keyfall::test;

namespace {

const char* const kSmall = R"(
[picture]
width = 96
[[block]]
name = "ball"
shape = "sphere"
size = [10]
at = [-20, 0, -10]
[[product]]
name = "caddy"
mesh = ")" KEYFALL_ROOT R"(/assets/meshes/tea_caddy.obj"
height = 14
[[light]]
name = "key"
kind = "continuous"
lamp = "led-panel"
lumens = 3000
)";

std::filesystem::path smallScene(const std::string& folderName) {
    const auto folder = freshFolder(folderName);
    write(folder / "small.toml", kSmall);
    return folder;
}

std::size_t filesIn(const std::filesystem::path& folder) {
    std::size_t n = 0;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) n += entry.is_regular_file();
    return n;
}

}  // namespace

TEST_CASE("render writes the picture, the layers and the report", "[program]") {
    const auto folder = smallScene("render");
    const Outcome o = runProgram("render small.toml --samples 16 --out a.png --exr a.exr --json a.json", folder);
    INFO(o.err);
    REQUIRE(o.exitCode == 0);
    CHECK(std::filesystem::exists(folder / "a.png"));
    CHECK(std::filesystem::exists(folder / "a.exr"));
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(report.at("program") == "keyfall");
    CHECK(report.at("schema") == 1);
    CHECK(report.at("stopped").is_null());
    CHECK(report.at("picture").at("samples") == 16);
    CHECK(report.at("probes").size() == 4);
    for (const auto& probe : report.at("probes")) CHECK(probe.contains("stops_over_interval95"));
    CHECK(o.out.find("a.png") != std::string::npos);
}

TEST_CASE("the same command gives the same bytes, whatever the threads", "[program]") {
    const auto folder = smallScene("bytes");
    REQUIRE(runProgram("render small.toml --samples 16 --out a.png --exr a.exr --threads 1", folder).exitCode == 0);
    REQUIRE(runProgram("render small.toml --samples 16 --out b.png --exr b.exr --threads 7", folder).exitCode == 0);
    CHECK(textOf(folder / "a.png") == textOf(folder / "b.png"));
    CHECK(textOf(folder / "a.exr") == textOf(folder / "b.exr"));
}

TEST_CASE("exit codes name the family of the mistake", "[program]") {
    const auto folder = smallScene("codes");
    CHECK(runProgram("", folder).exitCode == 2);
    CHECK(runProgram("rendr small.toml", folder).exitCode == 2);
    CHECK(runProgram("meter small.toml --quality best", folder).exitCode == 2);
    CHECK(runProgram("render small.toml --samples 48", folder).exitCode == 2);
    CHECK(runProgram("meter missing.toml", folder).exitCode == 3);
    CHECK(runProgram("meter small.toml --set light.key.power=2", folder).exitCode == 3);
    CHECK(runProgram("meter small.toml --set product.caddy.mesh=none.obj", folder).exitCode == 4);
    CHECK(runProgram("render small.toml --samples 4 --out nowhere/a.png", folder).exitCode == 5);
    CHECK(runProgram("meter small.toml --json nowhere/a.json", folder).exitCode == 5);
    CHECK(runProgram("render small.toml --noise 0.0001 --time 0.01 --out a.png", folder).exitCode == 0);
    CHECK(runProgram("check small.toml", folder).exitCode == 0);
    CHECK(runProgram("list lamp", folder).exitCode == 0);
    CHECK(runProgram("list spaceships", folder).exitCode == 2);
    CHECK(runProgram("--help", folder).exitCode == 0);
}

TEST_CASE("a mistake leaves no file behind", "[program]") {
    const auto folder = smallScene("nothing");
    runProgram("render small.toml --samples 4 --out a.png --set light.key.lumens=-5", folder);
    runProgram("render small.toml --samples 4 --out a.png --exr nowhere/a.exr", folder);
    CHECK(filesIn(folder) == 3);  // the scene and the two that hold what the program said
}

TEST_CASE("Ctrl-C writes what is there and says so", "[program]") {
    const auto folder = smallScene("interrupt");
    const Outcome o = runProgram("render small.toml --samples 65536 --out a.png --json a.json --set picture.width=200",
                                 folder, "timeout --foreground -s INT 5");
    INFO(o.err);
    // `timeout` answers 124 when its time came; the report says what the program did. In the foreground
    // it signals once; else the program and its group, and the second Ctrl-C means: at once.
    CHECK(std::filesystem::exists(folder / "a.png"));
    CHECK(nlohmann::json::parse(textOf(folder / "a.json")).at("stopped") == "interrupted");
}

TEST_CASE("--time keeps whole passes and says so", "[program]") {
    const auto folder = smallScene("time");
    const Outcome o = runProgram("render small.toml --noise 0.0001 --time 1.5 --out a.png --json a.json", folder);
    CHECK(o.exitCode == 0);
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(report.at("stopped") == "time");
    const int samples = report.at("picture").at("samples");
    CHECK((samples & (samples - 1)) == 0);
}

TEST_CASE("JSON on standard output is nothing but JSON", "[program]") {
    const auto folder = smallScene("stdout");
    const Outcome o = runProgram("meter small.toml --json -", folder);
    REQUIRE(o.exitCode == 0);
    CHECK(nlohmann::json::parse(o.out).at("probes").size() == 4);
    const Outcome rendered = runProgram("render small.toml --samples 4 --json - --out a.png", folder);
    REQUIRE(rendered.exitCode == 0);
    CHECK(nlohmann::json::parse(rendered.out, nullptr, false).is_object());
}
