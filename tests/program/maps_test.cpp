// Maps beside the picture, gear in the frame and in glossy faces, the stack in the report: what a user
// gets from one render of a set that is known by geometry. Not here: the looks alone (tests/meter).
#include <catch2/catch.hpp>

#include <array>
#include <cmath>
#include <map>

#include "read_png.h"
#include "run_program.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

/// A polished plate of 20 x 10 cm, a metre before the lens and square to it. A panel 50 cm behind the lens
/// and a card 50 cm before it are mirrored in it; a bulb near the wall is seen directly, and so is the card.
const char* const kPlateSet = R"(
[camera]
at = [0, 5, 100]
look_at = [0, 5, 0]
shutter = "1/8"
[picture]
width = 192
[table]
shape = "none"
[material.polish]
base = "metal"
reflectance = 0.9
[lamp.soft]
shape = "panel"
size = [20, 10]
[lamp.ball]
shape = "sphere"
size = [3]
[[product]]
name = "plate"
mesh = "plate.obj"
unit = "cm"
material = "polish"
[[light]]
name = "key"
kind = "continuous"
lamp = "soft"
lumens = 1000
at = [10, 0, 150]
aim = [10, 0, 0]
[[light]]
name = "bulb"
kind = "continuous"
lamp = "ball"
lumens = 1000
at = [20, 10, -50]
aim = [0, 5, 0]
[[board]]
name = "fill"
size = [4, 3]
at = [-7, 9.5, 50]
aim = [-7, 9.5, 100]
)";

std::filesystem::path plateFolder(const std::string& name) {
    const auto folder = folderWith(name, kPlateSet);
    write(folder / "plate.obj", "v -10 0 0\nv 10 0 0\nv 10 10 0\nv -10 10 0\nf 1 2 3 4\n");
    return folder;
}

/// The map's colour of a picture pixel: each is a square of 3 x 3, the map begins at (24, 76).
Pixel mapped(const Picture8& map, int x, int y) { return map.at(24 + 3 * x + 1, 76 + 3 * y + 1); }

bool isGrey(const Pixel& p) { return p[0] == p[1] && p[1] == p[2]; }

/// Rec. 709 luminance of sRGB codes (IEC 61966-2-1).
double luminanceOf(const Pixel& p) {
    const double weight[] = {0.2126, 0.7152, 0.0722};
    double y = 0.0;
    for (std::size_t i = 0; i < 3; ++i) y += weight[i] * linearOf(p[i]);
    return y;
}

/// Bands of one stop around whole stops; the darker the stops, the darker the colour; 0 is a grey.
void checkStopsMap(const Picture8& picture, const Picture8& map) {
    struct Range { double low = HUGE_VAL, high = -HUGE_VAL; };
    std::map<Pixel, Range> bands;
    for (int y = 0; y < picture.height; ++y)
        for (int x = 0; x < picture.width; ++x) {
            const Pixel p = picture.at(x, y);
            if (*std::min_element(p.begin(), p.end()) < 40 || *std::max_element(p.begin(), p.end()) > 254) continue;
            Range& r = bands[mapped(map, x, y)];
            const double stops = std::log2(luminanceOf(p) / 0.18);
            r.low = std::min(r.low, stops);
            r.high = std::max(r.high, stops);
        }
    CHECK(bands.size() >= 5);
    std::map<int, double> lightness;
    for (const auto& [colour, range] : bands) {
        const auto stops = static_cast<int>(std::round(0.5 * (range.low + range.high)));
        CHECK(range.low > stops - 0.55);  // a code of 40 is known to 0.05 stop
        CHECK(range.high < stops + 0.55);
        CHECK(isGrey(colour) == (stops == 0));
        CHECK(lightness.emplace(stops, luminanceOf(colour)).second);
    }
    double before = 0.0;
    for (const auto& [stops, y] : lightness) {
        CHECK(y > 1.15 * before);
        before = y;
    }
}

}  // namespace

TEST_CASE("render --maps: bands of stops, what clips and by which light, what the plate mirrors", "[program][maps]") {
    const auto folder = plateFolder("maps");
    const Outcome o = runProgram("render set.toml --samples 4 --out a.png --maps m --json a.json", folder);
    INFO(o.err);
    REQUIRE(o.exitCode == 0);
    CHECK_THAT(o.out, Contains("m-stops.png\nm-clipped.png\nm-mirrors.png"));
    const Picture8 picture(folder / "a.png");
    checkStopsMap(picture, Picture8(folder / "m-stops.png"));
    const Picture8 clipped(folder / "m-clipped.png");
    CHECK_FALSE(isGrey(mapped(clipped, 162, 47)));  // the bulb
    CHECK(isGrey(mapped(clipped, 20, 100)));        // the wall, far from it
    // By image sources (tests/meter/mirrored_test.cpp): the panel is mirrored 4 cm right of the plate's
    // middle and 2 under it, the card 4.7 left and 3 above; 192 pixels are 38.75 cm there (thin lens).
    const Picture8 mirrors(folder / "m-mirrors.png");
    const Pixel panel = mapped(mirrors, 116, 74);
    const Pixel card = mapped(mirrors, 73, 49);
    const Pixel dark = mapped(mirrors, 56, 79);
    CHECK_FALSE(isGrey(panel));
    CHECK_FALSE(isGrey(card));
    CHECK(panel != card);
    CHECK(luminanceOf(dark) < 0.1 * luminanceOf(card));
    CHECK(isGrey(mapped(mirrors, 20, 100)));  // the wall mirrors nothing
}

TEST_CASE("a report names gear in the frame and in glossy faces, with shares", "[program][maps][law]") {
    const auto folder = plateFolder("gear");
    const auto report = reportOf("meter set.toml --samples 16", folder);
    const auto& face = report.at("mirrors").at(0);
    CHECK(face.at("area") == "plate/polish");
    std::map<std::string, double> share;
    for (const auto& m : face.at("mirrored")) share[m.at("name")] = m.at("share_percent");
    // Of 200 cm^2: panel 20 x 10 cm times 0.4, card 4 x 3 cm over 1.5, each way.
    CHECK_THAT(share.at("key"), WithinRel(16.0, 0.06));
    CHECK_THAT(share.at("fill"), WithinRel(100.0 * 4.0 * 3.0 / 2.25 / 200.0, 0.12));
    CHECK_THAT(share.at("dark"), WithinAbs(100.0 - 16.0 - 2.67, 1.5));
    CHECK(face.at("mirrored").at(1).at("luminous_percent") == face.at("mirrored").at(1).at("share_percent"));
    std::string inFrame;
    std::string mirrored;
    for (const auto& w : report.at("warnings")) {
        if (w.at("code") == "object-in-frame") inFrame += w.at("text").get<std::string>() + "\n";
        if (w.at("code") == "object-mirrored") mirrored += w.at("text").get<std::string>() + "\n";
    }
    CHECK_THAT(inFrame, Contains("board fill is in the frame: 4.") && Contains("at the top left") && Contains("light bulb") && !Contains("key"));
    CHECK_THAT(mirrored, Contains("light key is mirrored in plate: 1") && Contains("board fill") && !Contains("bulb"));
    // A plate in the plane of focus: all of it sharp, in one frame.
    const auto& depth = report.at("depth_of_field");
    CHECK(depth.at("sharp_share") == 1.0);
    CHECK(depth.at("frames") == 1);
    CHECK_THAT(depth.at("focus_cm").at(0).get<double>(), WithinAbs(100.0, 1e-3));
    CHECK_THAT(depth.at("as_focused_soft_cm").get<double>(), WithinAbs(0.0, 1e-9));
    // 2.44 * 550 nm * 11.314 * (1 + 0.085/0.915) (first zero of J1, thin lens).
    CHECK_THAT(depth.at("diffraction").at("airy_mm").get<double>() * 1e3, WithinRel(2.43934 * 0.55 * 11.3137 / 0.915, 1e-4));
}

TEST_CASE("what is sharp of a product out of the frame is null, with a warning", "[program][maps]") {
    const auto folder = plateFolder("off-frame");
    const auto report = reportOf("meter set.toml --samples 16 --set 'product.plate.at=[60, 0, 0]'", folder);
    for (const char* key : {"sharp_share", "frames", "focus_cm", "as_focused_soft_cm", "product_near_cm"})
        CHECK(report.at("depth_of_field").at(key).is_null());
    CHECK_FALSE(warning(report, "product-not-in-frame").empty());
    CHECK(report.at("mirrors").empty());
}

TEST_CASE("what is sharp and mirrored of a product is told alike by every command, at any picture width", "[program][maps]") {
    // Leaning, so that its depth reaches beyond what is sharp.
    const auto folder = plateFolder("one-look");
    const std::string plate = " set.toml --samples 16 --set product.plate.tilt=-50 --set camera.aperture=4 ";
    write(folder / "set.toml", kPlateSet + std::string("[[probe]]\nname = \"p\"\nat = [0, 2, 20]\n"));
    const auto metered = reportOf("meter" + plate, folder);
    const auto& depth = metered.at("depth_of_field");
    CHECK(depth.at("frames") > 1);
    CHECK(depth.at("sharp_share") > 0.1);
    CHECK(depth.at("sharp_share") < 0.9);
    for (const std::string& command : {"render --out a.png --seed 7" + plate + "--set picture.width=64", "settings" + plate}) {
        INFO(command);
        const auto other = reportOf(command, folder);
        CHECK(other.at("depth_of_field") == depth);
        CHECK(other.at("mirrors") == metered.at("mirrors"));
        CHECK(other.at("in_frame") == metered.at("in_frame"));
        if (other.contains("settings")) CHECK(other.at("settings").at("as_set").at("frames") == depth.at("frames"));
    }
}

TEST_CASE("maps that cannot be written are told before the work", "[program][maps]") {
    const auto folder = plateFolder("maps-nowhere");
    const Outcome o = runProgram("render set.toml --samples 4 --out a.png --maps nowhere/m", folder);
    CHECK(o.exitCode == 5);
    CHECK_THAT(o.err, Contains("nowhere"));
    CHECK_FALSE(std::filesystem::exists(folder / "a.png"));
    const Outcome same = runProgram("render set.toml --samples 4 --out m-stops.png --maps m", folder);
    CHECK(same.exitCode == 2);
    CHECK_THAT(same.err, Contains("--maps m-stops.png is the same file as --out"));
}
