// Options that commands share: JSON of check and list, time and sureness of readings, full outputs.
#include <catch2/catch.hpp>
#include <chrono>
#include <functional>

#include "run_program.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;

namespace {

/// Many probes under a closed pane: minutes of work at `final`.
std::string slowSet() {
    std::string text = kBallSet + R"(
[[block]]
name = "pane"
shape = "box"
size = [300, 1, 300]
at = [0, 30, 0]
material = "clear"
[material.clear]
base = "glass"
)";
    for (int i = 0; i < 100; ++i)
        text += "[[probe]]\nname = \"p" + std::to_string(i) + "\"\nat = [20, 5, 0]\nnormal = [0, 1, 0]\n";
    return text;
}

double secondsOf(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

}  // namespace

TEST_CASE("check as JSON: products, defaults, and the mistakes of a bad scene", "[program]") {
    const auto folder = folderWith("check-json", kBallSet + "[[product]]\nname = \"caddy\"\nmesh = \"" KEYFALL_ROOT
                                                                     "/assets/meshes/tea_caddy.obj\"\nheight = 14\nat = [20, 0, 0]\n");
    const Outcome good = runProgram("check set.toml --json -", folder);
    REQUIRE(good.exitCode == 0);
    const auto report = nlohmann::json::parse(good.out);
    CHECK(report.at("good") == true);
    CHECK(report.at("products").at(0).at("name") == "caddy");
    CHECK(report.at("products").at(0).at("size_cm").at(1).get<double>() == Approx(14.0).epsilon(1e-4));
    CHECK(report.at("defaults").size() > 5);
    const Outcome bad = runProgram("check set.toml --json - --set light.key.lumen_seconds=-1", folder);
    CHECK(bad.exitCode == 3);
    const auto mistakes = nlohmann::json::parse(bad.out);
    CHECK(mistakes.at("good") == false);
    CHECK(mistakes.at("messages").at(0).at("severity") == "error");
    CHECK_THAT(mistakes.at("messages").at(0).at("text").get<std::string>(), Contains("lumen_seconds"));
    CHECK_THAT(runProgram("check set.toml --quiet", folder).out, Catch::Matchers::Equals(""));
}

TEST_CASE("list as JSON holds what its lines say", "[program]") {
    const auto folder = folderWith("list-json", kBallSet);
    const auto all = nlohmann::json::parse(runProgram("list --json -", folder).out).at("library");
    const Outcome lamps = runProgram("list lamp --json lamps.json", folder);
    const auto some = nlohmann::json::parse(textOf(folder / "lamps.json")).at("library");
    CHECK(some.size() > 2);
    CHECK(all.size() > some.size());
    for (const auto& entry : some) {
        CHECK(entry.at("kind") == "lamp");
        CHECK_THAT(lamps.out, Contains(entry.at("name").get<std::string>()) && Contains(entry.at("source").get<std::string>()));
    }
}

TEST_CASE("standard output that takes nothing is an output that could not be written", "[program]") {
    const auto folder = folderWith("full", kBallSet);
    for (const char* command : {"meter set.toml --samples 16 --json -", "meter set.toml --samples 16", "check set.toml",
                                "check set.toml --json -", "list", "list lamp --json -"}) {
        // The shell's line goes on with a redirection of its own: it is `true`'s.
        const Outcome o = runProgram(std::string(command) + " >/dev/full 2>said.txt || exit $?; true", folder);
        INFO(command << "\n" << o.err);
        CHECK(o.exitCode == 5);
    }
}

TEST_CASE("--time bounds the readings, and the report says so", "[program][long]") {
    const auto folder = folderWith("time-readings", slowSet());
    Outcome o;
    const double seconds = secondsOf([&] { o = runProgram("meter set.toml --quality final --time 1 --json a.json", folder); });
    INFO(o.err);
    CHECK(o.exitCode == 0);
    CHECK(seconds < 8.0);
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(report.at("stopped") == "time");
    CHECK(report.at("probes").size() >= 1);
    CHECK_THAT(o.out, Contains("time is up"));
}

TEST_CASE("--time is shared: a picture comes also where readings would take minutes", "[program][long]") {
    const auto folder = folderWith("time-shared", slowSet());
    Outcome o;
    const double seconds = secondsOf(
        [&] { o = runProgram("render set.toml --quality final --time 3 --set picture.width=240 --out a.png --json a.json", folder); });
    INFO(o.err);
    CHECK(o.exitCode == 0);
    CHECK(seconds < 15.0);
    CHECK(std::filesystem::exists(folder / "a.png"));
    CHECK(nlohmann::json::parse(textOf(folder / "a.json")).at("stopped") == "time");
}

TEST_CASE("meter takes a number of paths, or a sureness, in place of a quality", "[program][long]") {
    const auto folder = folderWith("meter-options", kBallSet);
    REQUIRE(runProgram("meter set.toml --samples 4096 --json a.json", folder).exitCode == 0);
    for (const auto& probe : nlohmann::json::parse(textOf(folder / "a.json")).at("probes")) CHECK(probe.at("points") == 4096);
    CHECK(runProgram("meter set.toml --samples 100", folder).exitCode == 2);
    CHECK(runProgram("meter set.toml --samples 64 --noise 0.1", folder).exitCode == 2);
    REQUIRE(runProgram("meter set.toml --noise 0.02 --json a.json", folder).exitCode == 0);
    // Not reached in the most paths there are: what there is is written, exit code 6.
    const Outcome far = runProgram("meter set.toml --noise 0.000001 --json b.json", folder);
    INFO(far.err);
    CHECK(far.exitCode == 6);
    CHECK(nlohmann::json::parse(textOf(folder / "b.json")).at("stopped") == "noise-not-reached");
}

TEST_CASE("the help of list names every kind that the library holds", "[program]") {
    const auto folder = folderWith("list-help", kBallSet);
    const Outcome help = runProgram("list --help", folder);
    for (const auto& entry : nlohmann::json::parse(runProgram("list --json -", folder).out).at("library"))
        CHECK_THAT(help.out, Contains(entry.at("kind").get<std::string>()));
}
