// `render --detail` and the sensor's figures, as a user meets them. Not here: the arithmetic
// (tests/photograph/sensor_test.cpp).
#include <catch2/catch.hpp>
#include <cmath>

#include "read_png.h"
#include "run_program.h"

using namespace keyfall::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

// A grey card that fills the frame, in even light metered for f/11: the frame of a photon transfer curve.
const std::string kCard = R"(
[camera]
at = [0, 20, 120]
look_at = [0, 20, 0]
aperture = 11
close_up = "compensated"
sensor = [1.2, 1.0]                # a small piece of a sensor: few pixels of a usual size
pixels = [180, 150]
full_well = 100000
circle_of_confusion = 0.03
white_balance = "lamp"
[picture]
width = 60
[table]
shape = "none"
[backdrop]
shape = "none"
[[product]]
name = "card"
mesh = "card.obj"
unit = "cm"
centre = "origin"
material = "grey-card"
[[light]]
name = "lamp"
kind = "flash"
lamp = "flash-bulb"
reads = { aperture = "f/11", iso = 100, distance = 1000 }
rated_with = "none"
at = [0, 20, 1000]
aim = [0, 20, 0]
[[probe]]
name = "at-card"
at = [0, 20, 0.3]
normal = [0, 0, 1]
)";
const std::string kCardMesh = "v -30 0 0\nv 30 0 0\nv 30 50 0\nv -30 50 0\nf 1 2 3 4\n";

/// The green channel, linear, in shares of 1.
struct Png {
    int width = 0, height = 0;
    std::vector<double> green;
    double mean = 0.0, deviation = 0.0;

    double at(int x, int y) const { return green[static_cast<std::size_t>(y * width + x)]; }
};

Png read(const std::filesystem::path& file) {
    const Picture8 picture(file);
    Png png;
    png.width = picture.width;
    png.height = picture.height;
    const int count = png.width * png.height;
    double squares = 0.0;
    for (int i = 0; i < count; ++i) {
        const double linear = linearOf(picture.rgb[static_cast<std::size_t>(3 * i + 1)]);
        png.green.push_back(linear);
        png.mean += linear / count;
        squares += linear * linear / count;
    }
    png.deviation = std::sqrt(squares - png.mean * png.mean);
    return png;
}

}  // namespace

TEST_CASE("a detail shows the sensor's pixels with the grain that the report states", "[program]") {
    const auto folder = folderWith("detail", kCard);
    write(folder / "card.obj", kCardMesh);
    const Outcome o = runProgram("render set.toml --samples 16 --out a.png --detail d.png --json a.json --set camera.iso=1600 "
                                 "--set light.lamp.power=1/16",
                                 folder);
    INFO(o.err);
    REQUIRE(o.exitCode == 0);
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    const auto& sensor = report.at("sensor");
    const Png png = read(folder / "d.png");
    CHECK(png.width == 180);
    CHECK(png.height == 150);
    CHECK_THAT(png.mean, WithinRel(0.18, 0.05));
    // One standard deviation, in stops: sqrt(e + r^2) / (e ln 2), e electrons of the green pixel.
    const double e = sensor.at("electrons_at_grey").at("green");
    const double grain_stops = std::sqrt(e + 9.0) / e / std::log(2.0);
    CHECK_THAT(sensor.at("grain_at_grey_stops").get<double>(), WithinRel(grain_stops, 1e-9));
    CHECK_THAT(sensor.at("snr_at_grey_db").get<double>(), WithinAbs(20 * std::log10(e / std::sqrt(e + 9.0)), 1e-9));
    // The picture's green is not the sensor's green alone: red and blue are subtracted from it.
    CHECK(png.deviation / png.mean / std::log(2.0) > grain_stops);
    CHECK(png.deviation / png.mean / std::log(2.0) < 3.0 * grain_stops);
    CHECK(report.at("detail").at("width") == 180);
    // Four stops more speed take four stops of range.
    CHECK_THAT(sensor.at("range_base_iso_stops").get<double>() - sensor.at("range_stops").get<double>(), WithinAbs(4.0, 1e-9));
    CHECK(o.out.find("signal to noise") != std::string::npos);
}

TEST_CASE("a detail shows the place of the picture that the report names", "[long][program]") {
    // A card whose lower right corner is near the middle: the detail lies off centre and is no mirror image. At
    // 1/400 s the curtain cuts the card in half, and has to at the same place.
    const auto folder = folderWith("detail-place", kCard);
    write(folder / "card.obj", "v -15 0 0\nv -1 0 0\nv -1 12 0\nv -15 12 0\nf 1 2 3 4\n");
    REQUIRE(runProgram("render set.toml --samples 4 --quiet --out a.png --detail d.png --json a.json --set camera.iso=100 --set camera.shutter=1/400 "
                       "--set 'camera.sensor=[12, 10]' --set 'camera.pixels=[1800, 1500]' --set picture.width=180 --set 'product.card.at=[0, 21, 0]'",
                       folder).exitCode == 0);
    const auto detail = nlohmann::json::parse(textOf(folder / "a.json")).at("detail");
    const Png picture = read(folder / "a.png"), window = read(folder / "d.png");
    REQUIRE(window.width == 720);
    REQUIRE(window.height == 480);
    const int x0 = detail.at("x"), y0 = detail.at("y");
    CHECK(x0 < 540);  // left of and above the middle
    CHECK(y0 < 510);
    int bright = 0, other = 0;
    for (int y = 10; y < 470; ++y)
        for (int x = 10; x < 710; ++x) {
            bright += window.at(x, y) > 0.09;
            other += (window.at(x, y) > 0.09) != (picture.at((x0 + x) / 10, (y0 + y) / 10) > 0.09);
        }
    CHECK(bright > 40000);
    CHECK(bright < 280000);
    CHECK(other < 7000);  // the card's two edges, a tenth of a picture's pixel each side
}

TEST_CASE("a detail is the same to the last byte for any number of threads, and never half written", "[program]") {
    const auto folder = folderWith("detail-bytes", kCard);
    write(folder / "card.obj", kCardMesh);
    REQUIRE(runProgram("render set.toml --samples 16 --quiet --out a.png --detail d1.png --threads 1", folder).exitCode == 0);
    REQUIRE(runProgram("render set.toml --samples 16 --quiet --out a.png --detail d3.png --threads 3", folder).exitCode == 0);
    CHECK(textOf(folder / "d1.png") == textOf(folder / "d3.png"));
    CHECK(runProgram("render set.toml --samples 16 --out a.png --detail a.png", folder).exitCode == 2);
    const Outcome o = runProgram("render set.toml --samples 16 --out a.png --detail nowhere/d.png", folder);
    CHECK(o.exitCode == 5);
    CHECK_FALSE(std::filesystem::exists(folder / "nowhere"));
}

TEST_CASE("the lines for people have one raw share: where a channel of the sensor is full", "[program]") {
    // A well of 2000 electrons ends far below white; the picture's own channels are nowhere near 1.41.
    const auto folder = folderWith("raw-share", kCard);
    write(folder / "card.obj", kCardMesh);
    const Outcome o = runProgram("render set.toml --samples 4 --out a.png --json a.json --set camera.full_well=2000", folder);
    REQUIRE(o.exitCode == 0);
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(report.at("clipping").at("raw") == 0.0);
    CHECK(report.at("sensor").at("raw_full") == 1.0);
    CHECK_THAT(o.out, Catch::Matchers::Contains("in the raw 100.0 % cannot be recovered"));
    CHECK(o.out.find("cannot be recovered", o.out.find("cannot be recovered") + 1) == std::string::npos);
}

TEST_CASE("a shutter faster than sync darkens the bottom of picture and detail, not the readings", "[program][law]") {
    // 1/250 engraved is 1/256 s, 1/203 of a sync: 1 - 2^(-1/3) = .206 of the height. Flash alone: black there.
    const auto folder = folderWith("flash-cut", kCard);
    write(folder / "card.obj", kCardMesh);
    const std::string render = "render set.toml --samples 4 --out a.png --set 'camera.pixels=[60, 50]' --set camera.shutter=";
    const auto whole = reportOf(render + "1/200", folder);
    const Png lit = read(folder / "a.png");
    const auto cut = reportOf(render + "1/250 --detail d.png", folder);
    CHECK(cut.at("probes") == whole.at("probes"));
    const Png picture = read(folder / "a.png"), detail = read(folder / "d.png");
    const double edge = std::exp2(-1.0 / 3);
    for (const Png* png : {&picture, &detail})
        for (int y = 0; y < png->height; ++y) {
            const double part = static_cast<double>(y) / png->height;
            INFO(png->height << " rows, row " << y);
            if (part < edge - 1.0 / png->height) CHECK(png->at(png->width / 3, y) > 0.1);
            if (part > edge) CHECK(png->at(png->width / 3, y) < 0.02);
        }
    for (int y = 0; y < 35; ++y) CHECK(picture.at(20, y) == lit.at(20, y));  // the same film, the same bytes
}
