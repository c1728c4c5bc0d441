// Does the report say what it does not know? Missing and unsure readings, shares, lost light.
#include <catch2/catch.hpp>
#include <cmath>

#include "run_program.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;

namespace {

// A probe under a clear, closed pane: no lamp can be aimed at through it.
const char* const kUnderPane = R"(
[table]
shape = "none"
[backdrop]
shape = "none"
[[block]]
name = "pane"
shape = "box"
size = [300, 1, 300]
at = [0, 10, 0]
material = "clear"
[material.clear]
base = "glass"
[[light]]
name = "bulb"
kind = "flash"
lumen_seconds = 1000
lamp = "ball"
at = [0, 100, 0]
aim = [0, 5, 0]
[lamp.ball]
shape = "sphere"
size = [%SIZE%]
[[probe]]
name = "below"
at = [0, 5, 0]
normal = [0, 1, 0]
)";

std::string underPane(const std::string& bulb_cm) {
    std::string text = kUnderPane;
    return text.replace(text.find("%SIZE%"), 6, bulb_cm);
}

nlohmann::json metered(const std::string& scene, const std::string& folderName, const std::string& options = {}) {
    return reportOf("meter set.toml " + options, folderWith(folderName, scene));
}

}  // namespace

TEST_CASE("light that no path found is a missing reading, with the number of paths", "[program]") {
    const auto report = metered(underPane("0.02"), "rare");
    const auto& probe = report.at("probes").at(0);
    CHECK(probe.at("exposure_lx_s").is_null());
    CHECK(probe.at("illuminance_lx").is_null());
    CHECK(probe.at("by_light").at(0).at("exposure_lx_s").is_null());
    CHECK(probe.at("reading").is_null());
    CHECK(probe.at("points") == 262144);  // 16 replicates of the most points
    CHECK_THAT(warning(report, "no-reading"), Contains("no light found in 262144 paths"));
}

TEST_CASE("with every light off a reading is 0, and the report says why", "[program]") {
    const auto report = metered(underPane("3"), "off", "--set light.bulb.on=false");
    CHECK(report.at("probes").at(0).at("exposure_lx_s") == 0.0);
    CHECK_THAT(warning(report, "no-reading"), Contains("no light is on"));
}

TEST_CASE("a reading that stays unsure is told", "[program]") {
    const auto report = metered(underPane("3"), "unsure");
    const auto& apertures = report.at("probes").at(0).at("aperture_for_correct_exposure_interval95");
    REQUIRE(2.0 * std::log2(apertures.at(1).get<double>() / apertures.at(0).get<double>()) > 0.04);
    CHECK_THAT(warning(report, "interval-wide"), Contains("probe below") && Contains("262144 paths"));
    // In plain sight of the bulb it is sure.
    const auto plain = metered(underPane("3"), "sure", "--set block.pane.on=false");
    CHECK(warning(plain, "interval-wide").empty());
}

TEST_CASE("shares of the lights come with their interval", "[program]") {
    const auto folder = freshFolder("shares");
    write(folder / "set.toml", underPane("3") + "[[light]]\nname = \"second\"\nkind = \"flash\"\nlumen_seconds = 1000\n"
                                              "lamp = \"ball\"\nat = [0, 5, 100]\naim = [0, 5, 0]\n");
    const Outcome o = runProgram("meter set.toml --set probe.below.normal=[0,1,1] --set block.pane.on=false", folder);
    INFO(o.out << o.err);
    REQUIRE(o.exitCode == 0);
    CHECK_THAT(o.out, Contains("bulb 52.6 ± 0.") && Contains("second 47.4 ± 0."));
}

TEST_CASE("paths lost below the facets of a smoothed mesh are told", "[program]") {
    // A cube shaded as if it were round: its normals lean up to 55 degrees off its faces.
    const std::string cube = R"(
[picture]
width = 48
[[product]]
name = "cube"
mesh = ")" KEYFALL_TESTS R"(/good_obj/cube_triangles.obj"
height = 10
material = "stoneware"
smooth = %SMOOTH%
[[light]]
name = "bulb"
kind = "flash"
lamp = "flash-bulb"
lumen_seconds = 1000
around = { angle = 60, elevation = 30, distance = 80 }
)";
    const auto rendered = [&](const std::string& smooth) {
        const auto folder = freshFolder("facets");
        std::string text = cube;
        write(folder / "set.toml", text.replace(text.find("%SMOOTH%"), 8, smooth));
        return reportOf("render set.toml --samples 16", folder);
    };
    CHECK_THAT(warning(rendered("120"), "paths-below-surface"), Contains("% of the paths ended"));
    CHECK(warning(rendered("0"), "paths-below-surface").empty());
}

TEST_CASE("interrupted, the meter writes the readings it has and names the others", "[program]") {
    const auto folder = freshFolder("cut-short");
    std::string scene = underPane("3");
    for (int i = 0; i < 400; ++i)  // half a minute in all, a second each under sanitizers
        scene += "[[probe]]\nname = \"p" + std::to_string(i) + "\"\nat = [0, 5, 0]\nnormal = [0, 1, 0]\n";
    write(folder / "set.toml", scene);
    const Outcome o = runProgram("meter set.toml --threads 1 --samples 65536 --json a.json", folder, "timeout --foreground --preserve-status -s INT 6");
    INFO(o.err);
    CHECK(o.exitCode == 6);
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(report.at("stopped") == "interrupted");
    CHECK(report.at("probes").size() >= 1);
    CHECK(report.at("probes").size() < 401);
    CHECK_THAT(warning(report, "readings-cut-short"), Contains("p399"));
    CHECK_THAT(o.out, Contains("interrupted"));
}
