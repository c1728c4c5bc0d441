// The scenes of assets/scenes are read without a mistake, and the six that show modifiers are one set.
// Not here: what light they give (tests/program, tests/laws).
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <set>

#include "../program/run_program.h"
#include "sources.h"

namespace keyfall::house {
namespace {

const std::filesystem::path kScenes = std::filesystem::path(KEYFALL_ROOT) / "assets" / "scenes";

/// One entry for each table of a scene file, from its head to the next blank line; comments left out.
std::set<std::string> tablesOf(const std::string& text) {
    std::set<std::string> tables;
    std::istringstream lines(text);
    std::string line;
    std::string table;
    while (std::getline(lines, line)) {
        if (line.empty()) {
            tables.insert(table);
            table.clear();
        } else if (line[0] != '#') {
            table += line + "\n";
        }
    }
    tables.insert(table);
    tables.erase("");
    return tables;
}

/// The tables that the scenes of the caddy share: all but the title, the light, what stands before it.
std::set<std::string> sharedTables(const std::string& name) {
    std::set<std::string> shared;
    for (const std::string& table : tablesOf(readText(kScenes / (name + ".toml")))) {
        bool own = false;
        for (const char* head : {"title", "[[light]]", "[[scrim]]", "[[flag]]"})
            own = own || table.rfind(head, 0) == 0;
        if (!own) shared.insert(table);
    }
    return shared;
}

}  // namespace

TEST_CASE("demo scenes: every one is without mistakes", "[house]") {
    const auto folder = test::freshFolder("demo-scenes");
    int scenes = 0;
    for (const auto& entry : std::filesystem::directory_iterator(kScenes)) {
        const auto ran = test::runProgram("check --quiet '" + entry.path().string() + "'", folder);
        INFO(entry.path() << "\n" << ran.err);
        CHECK(ran.exitCode == 0);
        ++scenes;
    }
    CHECK(scenes >= 10);
}

TEST_CASE("demo scenes: six modifiers on one head, on one set", "[house]") {
    const auto folder = test::freshFolder("demo-modifiers");
    const std::set<std::string> set = sharedTables("caddy_hard_key");
    REQUIRE(set.size() == 11);  // camera, picture, table, backdrop, 2 products, card, 4 probes
    std::set<std::string> modifiers;
    for (const char* name : {"bare_bulb", "bowl", "softbox_open", "softbox", "strip", "scrim"}) {
        const std::string scene = "caddy_" + std::string(name);
        INFO(scene);
        CHECK(sharedTables(scene) == set);
        const std::string file = (kScenes / (scene + ".toml")).string();
        const auto ran = test::runProgram("check --quiet --json - '" + file + "'", folder);
        REQUIRE(ran.exitCode == 0);
        const auto light = nlohmann::json::parse(ran.out).at("lights").at(0);
        CHECK(light.at("exit_cm").get<double>() == Approx(80.0).epsilon(1e-3));
        modifiers.insert(light.at("modifier").get<std::string>());
    }
    CHECK(modifiers.size() == 5);  // the scrim stands before a second bowl
}

}  // namespace keyfall::house
