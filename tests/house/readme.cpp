// README says what is true: its scenes are read, its figure comes out, its tables are complete.
// Not here: whether the program is right otherwise (tests/program, tests/laws).
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <numbers>
#include <set>
#include <sstream>

#include "../program/run_program.h"
#include "scene/schema.h"
#include "sources.h"

namespace keyfall::house {
namespace {


std::string readme() {
    return readText(kRoot / "README.md");
}

/// The fenced blocks of a language, in order.
std::vector<std::string> blocksOf(const std::string& text, const std::string& language) {
    std::vector<std::string> blocks;
    std::istringstream lines(text);
    std::string line;
    bool inside = false;
    while (std::getline(lines, line)) {
        if (!inside && line == "```" + language) {
            inside = true;
            blocks.emplace_back();
        } else if (inside && line == "```") {
            inside = false;
        } else if (inside) {
            blocks.back() += line + "\n";
        }
    }
    return blocks;
}

/// What `text` holds between two marks; "" when they are not there.
std::string between(const std::string& text, const std::string& from, const std::string& to) {
    const std::size_t begin = text.find(from);
    const std::size_t end = begin == std::string::npos ? begin : text.find(to, begin + from.size());
    return end == std::string::npos ? "" : text.substr(begin, end - begin);
}

/// A scene of README as scene.toml in a folder of its own, its mesh path made to work from there.
test::Outcome runOn(const std::string& command, std::string scene,
                    const std::string& options = {}) {
    const std::string relative = "\"../meshes/";
    for (std::size_t at = 0; (at = scene.find(relative, at)) != std::string::npos;)
        scene.replace(at, relative.size(), "\"" + (kRoot / "assets/meshes").string() + "/");
    const auto folder = test::freshFolder("readme");
    test::write(folder / "scene.toml", scene);
    return test::runProgram(command + " scene.toml " + options, folder);
}

}  // namespace

TEST_CASE("readme: its scenes are complete and without mistakes", "[house]") {
    const auto scenes = blocksOf(readme(), "toml");
    REQUIRE(scenes.size() == 3);
    for (const std::string& scene : scenes) {
        INFO(scene);
        CHECK(runOn("check", scene).exitCode == 0);
    }
    CHECK(runOn("check", scenes[0] + "heigth = 3\n").exitCode == 3);
}

TEST_CASE("readme: the scene to check by hand meters as the hand says", "[house]") {
    // A sphere of even luminance lights like a point at its centre, and its flux spreads over
    // 4 pi d^2 (inverse square): H = Q / (4 pi d^2). The meter's disc of 2 cm takes off 2e-4.
    const double exact_lxs = 1287.0 / (4.0 * std::numbers::pi * 0.8 * 0.8);
    const auto scenes = blocksOf(readme(), "toml");
    REQUIRE(scenes.size() == 3);
    const auto ran = runOn("meter", scenes[1], "--quiet --json -");
    REQUIRE(ran.exitCode == 0);
    const auto probe = nlohmann::json::parse(ran.out).at("probes").at(0);
    using Catch::Matchers::WithinRel;
    CHECK_THAT(probe.at("exposure_lx_s").get<double>(), WithinRel(exact_lxs, 0.003));
    CHECK_THAT(probe.at("aperture_for_correct_exposure").get<double>(), WithinRel(8.0, 0.002));
}

TEST_CASE("readme: every key that a scene file may hold is named", "[house]") {
    const std::string reference = between(readme(), "## The scene file", "## Numbers");
    REQUIRE_FALSE(reference.empty());
    std::vector<std::string> sections = {"", "around", "reads"};  // the top level, nested tables
    for (const std::string& name : sectionNames())
        if (findSection(name)->form != Section::Form::value) sections.push_back(name);
    CHECK(sections.size() > 12);
    for (const std::string& section : sections) {
        for (const Key& key : keysOf(section)) {
            INFO(section << "." << key.name);
            CHECK(reference.find("`" + std::string(key.name) + "`") != std::string::npos);
        }
    }
}

TEST_CASE("readme: every option of the commands is in the table, and no other", "[house]") {
    const std::string table = between(readme(), "| option |", "Progress with");
    REQUIRE_FALSE(table.empty());
    std::string help;
    for (const char* command : {"render", "meter", "settings", "compare", "series", "place", "lamp", "check", "list"}) {
        const auto ran =
            test::runProgram(std::string(command) + " --help", test::freshFolder("readme"));
        CHECK(ran.exitCode == 0);
        help += ran.out;
    }
    const auto optionsOf = [](const std::string& text) {
        std::set<std::string> options;
        for (std::size_t at = 0; (at = text.find("--", at)) != std::string::npos;) {
            const std::size_t end = text.find_first_not_of("abcdefghijklmnopqrstuvwxyz-", at);
            if (end - at > 3) options.insert(text.substr(at, end - at));
            at = end == std::string::npos ? text.size() : end;
        }
        return options;
    };
    std::set<std::string> real = optionsOf(help);
    real.erase("--help");
    std::set<std::string> named = optionsOf(table);
    CHECK(named == real);
}

}  // namespace keyfall::house
