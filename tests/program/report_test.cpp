// The report's parts: present where the command makes them, null where nothing was read, absent
// where they would speak of a camera that the file never wrote.
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>

#include "run_program.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;

namespace {

const char* const kLamp = R"(
[[light]]
name = "key"
kind = "flash"
lamp = "flash-bulb"
lumen_seconds = 3000
around = { point = [0, 5, 0], angle = 65, elevation = 35, distance = 80 }
)";

const char* const kProduct = R"(
[picture]
width = 96
[[product]]
name = "caddy"
mesh = ")" KEYFALL_ROOT R"(/assets/meshes/tea_caddy.obj"
height = 14
)";

const char* const kHighCamera = R"(
[camera]
at = [0, 20, 100]
look_at = [0, 7, 0]
)";

struct Ran {
    nlohmann::json report;
    std::string text;
};

/// The report and the lines of one command.
Ran ran(const std::string& command, const std::string& scene, const std::string& folderName,
        const std::string& options = {}) {
    const auto folder = folderWith(folderName, scene);
    const Outcome o = runProgram(command + " set.toml --json a.json " + options, folder);
    INFO(o.err);
    REQUIRE(o.exitCode == 0);
    return {nlohmann::json::parse(textOf(folder / "a.json")), o.out};
}

}  // namespace

TEST_CASE("a report of a picture has the background's evenness and what of the product is soft", "[program]") {
    const Ran r = ran("render", std::string(kProduct) + kHighCamera + kLamp, "report-render", "--samples 16 --out a.png");
    const auto& background = r.report.at("background");
    CHECK(background.at("evenness_stops").get<double>() > 0.0);
    CHECK(background.at("evenness_stops_interval95").size() == 2);
    const auto& depth = r.report.at("depth_of_field");
    const double focus_cm = r.report.at("camera").at("focus_cm");
    CHECK(depth.at("before_cm").get<double>() == Approx(focus_cm - depth.at("near_cm").get<double>()));
    CHECK(depth.at("behind_cm").get<double>() == Approx(depth.at("far_cm").get<double>() - focus_cm));
    CHECK(depth.at("as_focused_soft_cm").get<double>() > 0.0);
    // Thin lens of 85 mm: 1/v = 1/f - 1/s.
    const double image_cm = 1.0 / (1.0 / 8.5 - 1.0 / focus_cm);
    CHECK(r.report.at("camera").at("focus_from_sensor_cm").get<double>() == Approx(focus_cm + image_cm));
    CHECK_THAT(r.text, Contains("cm from the sensor plane") && Contains(" before, ") && Contains("of the product") &&
                           Contains("of the backdrop in the picture"));
}

TEST_CASE("key:fill comes with its stops where it means something", "[program]") {
    const Ran r = ran("meter", std::string(kProduct) + kLamp, "report-ratio");
    const auto& ratio = r.report.at("ratios").at(0);
    REQUIRE(ratio.at("k_f").get<double>() > 1.0);
    char stops[32];
    std::snprintf(stops, sizeof stops, "(%.1f stops)", std::log2(ratio.at("k_f").get<double>()));
    CHECK_THAT(r.text, Contains(std::string(":1 ") + stops));
}

TEST_CASE("without a camera, meter leaves out what belongs to one", "[program]") {
    const std::string probe = "[[probe]]\nname = \"top\"\nat = [0, 20, 0]\nnormal = [0, 1, 0]\n";
    const Ran bare = ran("meter", kLamp + probe, "report-bare");
    const auto& reading = bare.report.at("probes").at(0);
    for (const char* key : {"stops_over", "stops_over_interval95", "picture_stops_over", "close_up_stops"})
        CHECK_FALSE(reading.contains(key));
    for (const char* key : {"camera", "depth_of_field", "background"}) CHECK_FALSE(bare.report.contains(key));
    CHECK(reading.at("reading").is_string());
    CHECK(bare.report.at("meter").at("iso") == 100.0);
    CHECK_THAT(bare.text, !Contains("the set f/11") && !Contains("picture") && Contains("ISO 100, 1/125 s"));
    const Ran with = ran("meter", kLamp + probe + kHighCamera, "report-camera");
    CHECK(with.report.at("probes").at(0).contains("picture_stops_over"));
    CHECK_FALSE(with.report.contains("meter"));
    CHECK_THAT(with.text, Contains("the set f/11"));
}

TEST_CASE("a missing reading has no figure at all", "[program]") {
    // A bulb of 0.2 mm behind a closed pane: no path finds it.
    const std::string hidden = R"(
[table]
shape = "none"
[backdrop]
shape = "none"
[[block]]
shape = "box"
name = "pane"
size = [300, 1, 300]
at = [0, 10, 0]
material = "clear"
[material.clear]
base = "glass"
[lamp.ball]
shape = "sphere"
size = [0.02]
[[light]]
name = "bulb"
kind = "flash"
lumen_seconds = 1000
lamp = "ball"
at = [0, 100, 0]
aim = [0, 5, 0]
[[probe]]
name = "below"
at = [0, 5, 0]
normal = [0, 1, 0]
)";
    const Ran r = ran("meter", hidden + std::string(kHighCamera), "report-missing");
    const auto& probe = r.report.at("probes").at(0);
    for (const char* key : {"exposure_lx_s", "illuminance_lx", "reading", "stops_over", "picture_stops_over",
                            "close_up_stops", "caustic_share", "chromaticity_xy", "aperture_for_correct_exposure"})
        CHECK(probe.at(key).is_null());
}

TEST_CASE("white balance auto without an incident reading is told", "[program]") {
    const std::string automatic = std::string(kProduct) + kHighCamera + "white_balance = \"auto\"\n" + kLamp;
    const std::string spot = "[[probe]]\nname = \"wall\"\nkind = \"spot\"\nat = [0, 10, -60]\n";
    CHECK_THAT(warning(ran("meter", automatic + spot, "report-auto").report, "white-balance-not-found"), Contains("D65"));
    CHECK(warning(ran("meter", automatic, "report-auto").report, "white-balance-not-found").empty());
}

TEST_CASE("the default sides are named by what was read, and the report tells", "[program]") {
    // From the right, but nearly from behind: little reaches the right side directly, and the white
    // card on the left sends more.
    const std::string scene = std::string(kProduct) + kHighCamera + R"(
[[light]]
name = "rim"
kind = "flash"
lamp = "flash-bulb"
lumen_seconds = 3000
at = [6, 8, -40]
aim = [0, 7, 0]
[[board]]
name = "card"
size = [40, 40]
at = [-20, 8, 10]
aim = [0, 7, 0]
)";
    const Ran r = ran("meter", scene, "report-sides");
    REQUIRE_FALSE(warning(r.report, "sides-by-reading").empty());
    const auto& first = r.report.at("ratios").at(0);
    CHECK(first.at("lit") == "lit-side");
    CHECK(first.at("shadow") == "shadow-side");
    CHECK(first.at("stops").get<double>() > 0.0);
    CHECK_THAT(r.text, Contains("lit-side : shadow-side"));
}

namespace {

/// A cube of 10 cm whose front face, seen square, is all that the camera sees of it.
std::filesystem::path cubeFolder(const std::string& name) {
    const auto folder = folderWith(name, R"(
[camera]
at = [0, 5, 105]
look_at = [0, 5, 5]
[picture]
width = 24
[table]
shape = "none"
[backdrop]
shape = "none"
[[product]]
name = "cube"
mesh = "cube.obj"
unit = "cm"
material = "grey-card"
)" + std::string(kLamp));
    write(folder / "cube.obj", "v 0 0 0\nv 0 0 10\nv 0 10 0\nv 0 10 10\nv 10 0 0\nv 10 0 10\nv 10 10 0\nv 10 10 10\n"
                               "f 1 2 4 3\nf 5 7 8 6\nf 1 5 6 2\nf 3 4 8 7\nf 1 3 7 5\nf 2 6 8 4\n");
    return folder;
}

}  // namespace

TEST_CASE("a flat face out of the sharp range is not called sharp, and no lens is asked for f/0.03", "[program]") {
    const auto folder = cubeFolder("report-flat");
    const Outcome o = runProgram("render set.toml --samples 4 --json a.json --set camera.focus=[0,5,-6] --set camera.aperture=5.6", folder);
    INFO(o.out << o.err);
    REQUIRE(o.exitCode == 0);
    // Similar triangles, thin lens: focused at 111 cm, f/5.6 is sharp from 108.4 cm; the face stands at 100.
    CHECK_THAT(o.out, Contains("none of the product that is seen is sharp: it lies 8.4 cm before the sharp range") &&
                          Contains("at an f-number that no lens has") && !Contains("all of the product that is seen is sharp"));
    const auto depth = nlohmann::json::parse(textOf(folder / "a.json")).at("depth_of_field");
    CHECK(depth.at("as_focused_outside_cm").get<double>() == Approx(8.4).margin(0.05));
    CHECK(depth.at("diffraction").at("least_blur").is_null());
    const auto limited = reportOf("meter set.toml --samples 16 --set limits.aperture=[4,16]", folder).at("depth_of_field");
    CHECK(limited.at("diffraction").at("least_blur").at("aperture") == 4.0);
}

TEST_CASE("a sensor that loses mid grey, or has no range, is told", "[program]") {
    const auto folder = cubeFolder("report-sensor");
    const auto warned = [&](const std::string& set) { return reportOf("meter set.toml --samples 16 --set " + set, folder); };
    const auto usual = warned("camera.iso=100");
    for (const char* code : {"grey-clips-in-raw", "well-full-early", "sensor-without-range"}) CHECK(warning(usual, code).empty());
    CHECK_THAT(warning(warned("camera.full_well=1000"), "grey-clips-in-raw"), Contains("ends at 1000"));
    CHECK_THAT(warning(warned("camera.full_well=20000"), "well-full-early"), Contains("below the picture's white"));
    CHECK_FALSE(warning(warned("camera.full_well=500 --set camera.read_noise=600"), "sensor-without-range").empty());
}

TEST_CASE("close up, lengths have the digits that tell them apart", "[program]") {
    // m = 1 at f/11: 2 N c (1 + m)/m^2 is 1.36 mm (textbook form), a millimetre is not "20.0 cm to 20.0 cm".
    const auto folder = cubeFolder("report-macro");
    const Outcome o = runProgram("render set.toml --samples 4 --set camera.at=[0,5,25] --set camera.focal_length=100 "
                                 "--set camera.look_at=[0,5,5] --set product.cube.turn=3", folder);
    INFO(o.out << o.err);
    REQUIRE(o.exitCode == 0);
    double near_mm = 0.0, far_mm = 0.0;
    REQUIRE(std::sscanf(o.out.c_str() + o.out.find("sharp   "), "sharp %lf mm to %lf mm", &near_mm, &far_mm) == 2);
    CHECK(far_mm - near_mm == Approx(1.36).margin(0.11));
}
