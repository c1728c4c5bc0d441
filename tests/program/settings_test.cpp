// The `settings` command as a user meets it: rows that can be taken over, lamps that cannot, refusals.
// Not here: the arithmetic (tests/meter/settings_test.cpp).
#include <catch2/catch.hpp>
#include <cmath>

#include "sets.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;

namespace {

const std::string kBulb = kCamera + kNothingAround + kBulbAndLabel;

double pictureOver(const nlohmann::json& report) {
    return report.at("probes").at(0).at("picture_stops_over");
}

void checkRefused(const std::string& scene, const std::string& options, int exitCode,
                  const std::string& says) {
    checkRefusal(scene, "settings set.toml " + options, exitCode, says);
}

}  // namespace

TEST_CASE("settings: rows taken over by their own --set options expose as stated", "[program]") {
    // Flash, a panel and a room with its ambient light; close enough for a magnification of 0.4.
    const auto folder = folderWith("settings-rows", kBulb + R"(
[room]
illuminance = 400
[[light]]
name = "panel"
lamp = "led-panel"
lumens = 1000
power = "1/2"
at = [-60, 20, 60]
aim = [0, 0, 0]
)");
    const std::string close =
        " --set camera.at=[0,0,30] --set camera.pupil_ratio=0.8 --set light.bulb.lumen_seconds=20000 "
        "--samples 16384";
    const auto report = reportOf("settings set.toml --rows 4" + close, folder);
    CHECK(report.at("camera").at("magnification").get<double>() > 0.3);
    const auto& settings = report.at("settings");
    CHECK(settings.at("probe") == "label");
    REQUIRE(settings.at("choices").size() >= 2);
    for (const auto& row : settings.at("choices")) {
        std::string arguments = "meter set.toml --seed 9" + close;
        for (const auto& set : row.at("set")) arguments += " --set '" + set.get<std::string>() + "'";
        INFO(arguments);
        CHECK(pictureOver(reportOf(arguments, folder)) ==
              Approx(row.at("picture_stops_over").get<double>()).margin(0.05));
        CHECK(std::abs(row.at("picture_stops_over").get<double>()) <= 0.05 + 1e-9);
        CHECK(row.at("picture_stops_over_interval95").size() == 2);
        CHECK(row.at("ambient_stops").is_number());
    }
}

TEST_CASE("settings: a lamp that is too weak, where it would do, and what else would", "[program]") {
    // f/8 of the lamp at full power against f/11, and 10 % of magnification: 2 log2(1.076) = 0.21 more.
    // Two and a quarter stops: 80 cm / 2^(2.21/2); a place by `at` is found as one by `around` is.
    const auto folder = folderWith("settings-weak", kBulb);
    for (const std::string place : {"", "at"}) {
        const std::string by = place.empty() ? "" : " --set light.bulb.at=[0,0,80]";
        std::string scene = kBulb;
        if (!place.empty())
            scene.erase(scene.find("around = { point"),
                        scene.find("[[probe]]") - scene.find("around = { point"));
        write(folder / "set.toml", scene);
        const auto report =
            reportOf("settings set.toml --set camera.iso=50 --set camera.aperture=11" + by, folder);
        const double m = report.at("camera").at("magnification");
        const auto& s = report.at("settings");
        const double stops = 2.0 + 2.0 * std::log2(1.0 + m);
        CHECK(s.at("short_by_stops").at("bulb").get<double>() == Approx(stops).margin(0.01));
        CHECK(s.at("remedies").at("distance_cm").at("bulb").get<double>() ==
              Approx(80.0 * std::exp2(-0.5 * stops)).epsilon(0.01));
        CHECK(s.at("remedies").at("distance_picture_stops_over").get<double>() == Approx(0.0).margin(0.05));
        CHECK(s.at("remedies").at("iso") == 250);  // the first third above 2.21 stops; the lamp comes down
        CHECK(s.at("remedies").at("shutter_s").is_null());
        CHECK(s.at("least_lumen_seconds").at("bulb").get<double>() ==
              Approx(1287.0 * std::exp2(stops)).epsilon(0.01));
        CHECK_THAT(warning(report, "lamp-too-weak"), Contains("light bulb"));
    }
    const Outcome text =
        runProgram("settings set.toml --set camera.iso=50 --set light.bulb.at=[0,0,80]", folder);
    CHECK_THAT(text.out, Contains("bulb cannot: 2.") && Contains("stops short at full power") &&
                             Contains("metered there") && Contains("or with ISO 250 or f/5;") &&
                             Contains("row 1: keyfall render set.toml --set camera."));
}

TEST_CASE("settings: where a lamp would have to stand in the meter, nothing is said to be metered",
          "[program]") {
    const auto folder = folderWith("settings-inside", kBulb);
    const Outcome o =
        runProgram("settings set.toml --json a.json --set light.bulb.lumen_seconds=0.5", folder);
    INFO(o.err);
    REQUIRE(o.exitCode == 0);
    CHECK_THAT(o.out, Contains("by the inverse square alone it would have to be at about 1") &&
                          Contains("close before what it aims at, in the picture, (not metered there"));
    CHECK_THAT(o.out, !Contains("the scene has no [camera]"));
    CHECK(nlohmann::json::parse(textOf(folder / "a.json"))
              .at("settings")
              .at("remedies")
              .at("distance_picture_stops_over")
              .is_null());
}

TEST_CASE("settings: limits are kept, and limits that cannot be met are told with how far off", "[program]") {
    const auto folder = folderWith(
        "settings-limits", kBulb + "[limits]\naperture = [11, 16]\niso = [100, 100]\nprefer = [\"grain\"]\n");
    const auto report = reportOf("settings set.toml", folder);
    const auto& s = report.at("settings");
    CHECK(s.at("choices").empty());
    CHECK(s.at("short_within_limits_stops").get<double>() > 1.0);
    CHECK(s.at("nearest").at("aperture") == 11);
    CHECK(s.at("prefer").at(0) == "grain");
    CHECK_THAT(warning(report, "no-setting"), Contains("stops short with all that they allow"));
    const auto enough = reportOf("settings set.toml --set light.bulb.lumen_seconds=10000", folder);
    REQUIRE_FALSE(enough.at("settings").at("choices").empty());
    for (const auto& row : enough.at("settings").at("choices")) {
        CHECK(row.at("aperture").get<double>() >= 11);
        CHECK(row.at("iso") == 100);
        CHECK(row.at("shutter_s").get<double>() >= 0.0049);
    }
}

TEST_CASE("settings: what third stops alone leave is a nearest setting and no proposal", "[program]") {
    // f/8 at 1287 lm*s: 0.12 stop less of it and no lamp that moves leave every third stop 0.12 under (or 0.21 over).
    const auto folder = folderWith("settings-near", kBulb);
    const std::string fixed = "settings set.toml --move none --set camera.close_up=compensated --set light.bulb.lumen_seconds=";
    const auto report = reportOf(fixed + std::to_string(1286.796 * std::exp2(-0.12)), folder);
    const auto& s = report.at("settings");
    CHECK(s.at("choices").empty());
    REQUIRE_FALSE(s.at("near").empty());
    for (const auto& row : s.at("near")) {
        CHECK(row.at("picture_stops_over").get<double>() == Approx(-0.12).margin(0.01));
        CHECK(row.at("warnings").at(0).at("code") == "off-wish");
    }
    CHECK(s.at("nearest") == s.at("near").at(0));
    CHECK_THAT(warning(report, "only-nearest"), Contains("0.12 stop under the wish"));
    CHECK(warning(report, "no-setting").empty());
    const auto exact = reportOf(fixed + std::to_string(1286.796), folder);
    CHECK_FALSE(exact.at("settings").at("choices").empty());
    CHECK(exact.at("settings").at("nearest").is_null());
}

TEST_CASE("settings: of a block what is seen counts, and a row that refocuses exposes and is sharp so", "[program]") {
    // The front face of a box seen square has no depth; its back is 10 cm behind it. m = 0.5: a focus elsewhere
    // is another exposure.
    const auto folder = folderWith("settings-focus", kBulb + R"(
[[block]]
shape = "box"
size = [10, 10, 10]
at = [0, -5, -6]
)");
    const std::string close = " --set camera.at=[0,0,24.5] --set camera.focus=[0,0,-4] --set light.bulb.lumen_seconds=20000 --samples 4096";
    const auto s = reportOf("settings set.toml" + close, folder).at("settings");
    CHECK(s.at("as_set").at("sharp_depth_share") == 0.0);
    const auto& row = s.at("choices").at(0);
    CHECK(row.at("sharp_depth_share") == 1.0);
    CHECK(row.at("frames") == 1);
    CHECK(row.at("focus_cm").get<double>() == Approx(25.5));
    CHECK(row.at("warnings").at(0).at("code") == "refocus");
    std::string arguments = "settings set.toml --seed 9" + close;
    for (const auto& set : row.at("set")) arguments += " --set '" + set.get<std::string>() + "'";
    const auto again = reportOf(arguments, folder);
    CHECK(again.at("settings").at("as_set").at("sharp_depth_share") == 1.0);
    CHECK(std::abs(pictureOver(again)) <= 0.06);
    CHECK(again.at("camera").at("magnification").get<double>() > 0.45);
}

TEST_CASE("settings: what it refuses, and why", "[program]") {
    checkRefused(kBulb, "--probe lable", 2, "--probe lable: the scene has no such probe; it has label");
    checkRefused(kBulb, "--move kay", 2, "--move kay: the scene has no such light; it has bulb");
    checkRefused(kBulb, "--move bulb --set light.bulb.on=false", 2, "is off or at power 0");
    checkRefused(kBulb, "--rows 0", 2, "--rows");
    checkRefused(kBulb, "--set probe.label.kind=spot", 2,
                 "spot probes alone; add an incident one, or name a spot by --probe (label)");
    // A mistake of the file, so with its place (tests/bad); for other commands than `settings` it is none.
    const std::string fast = kBulb + "[limits]\nshutter = [\"1/2000\", \"1/500\"]\n";
    checkRefused(fast, "", 3, "set.toml:21:11: error: limits.shutter: holds only times shorter than camera.flash_sync (0.004922 s), "
                              "and light bulb is a flash that is on; needed: ");
    CHECK(runProgram("meter set.toml --samples 16", folderWith("limits-fast", fast)).exitCode == 0);
    checkRefused(kBulb, "--set camera.iso=0", 3, "camera.iso");
    checkRefused(kBulb, "--lights bulb", 2, "--lights belongs to render and meter");
    // A scene without a camera is answered for the default one, and told so.
    const std::string noCamera = kBulb.substr(0, kBulb.find("[camera]")) + kBulb.substr(kBulb.find("[table]"));
    const auto byDefault = reportOf("settings set.toml --samples 16", folderWith("settings-no-camera", noCamera));
    CHECK_THAT(warning(byDefault, "camera-by-default"), Contains("defaults"));
    // In the dark there is nothing to expose for; the report says so and has no part `settings`.
    const auto dark =
        reportOf("settings set.toml --set light.bulb.on=false", folderWith("settings-dark", kBulb));
    CHECK_FALSE(dark.contains("settings"));
    CHECK_THAT(warning(dark, "no-reading"), Contains("no light is on"));
}
