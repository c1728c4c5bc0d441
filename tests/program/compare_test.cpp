// `compare`: variants at equal exposure, and what the command refuses. Expected values: the inverse square
// of a bare sphere (exact: CIE 171:2006, case 5.2, and a sphere of even luminance lights like a point), sums
// of light, and the contract of the scene file (README, "Comparing"). Not here: noise of differences
// (compare_noise_test.cpp), the demo (compare_demo_test.cpp).
#include <catch2/catch.hpp>

#include <cmath>

#include "read_png.h"
#include "sets.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
namespace fs = std::filesystem;

namespace {

/// Two bulbs in free air and a probe between them that nothing else lights. No modifier, so nothing is baked.
const std::string kBulbs = R"(
[camera]
at = [0, 5, 120]
look_at = [0, 0, 0]
close_up = "compensated"
[picture]
width = 48
)" + kNothingAround + R"([[block]]
name = "ball"
shape = "sphere"
size = [6]
at = [0, -14, 0]
[[light]]
name = "key"
kind = "flash"
lamp = "flash-bulb"
lumen_seconds = 40000
power = "1/8"
around = { point = [0, 0, 0], angle = 0, elevation = 0, distance = 80 }
[[light]]
name = "rim"
kind = "flash"
lamp = "flash-bulb"
lumen_seconds = 3000
power = "1/4"
around = { point = [0, 0, 0], angle = 0, elevation = 60, distance = 100 }
[[probe]]
name = "label"
at = [0, 0, 0]
normal = [0, 0, 1]
[[probe]]
name = "other"
at = [0, 0, 0]
normal = [0, 1, 0]
)";

const std::string kNearFar = R"(
[[variant]]
name = "far"
set = { "light.key.around.distance" = 160 }
[[variant]]
name = "near"
caption = "at half the distance"
set = { "light.key.around.distance" = 40 }
)";

/// compare's report of the scene, with few samples.
nlohmann::json compared(const std::string& name, const std::string& scene, const std::string& options = {}) {
    return reportOf("compare set.toml --samples 4 --out sheet.png " + options, folderWith(name, scene)).at("compare");
}

double over(const nlohmann::json& variant, std::size_t probe = 0) {
    return variant.at("report").at("probes").at(probe).at("picture_stops_over").get<double>();
}
double stops(const nlohmann::json& variant) { return variant.at("compensation").at("stops").get<double>(); }
double power(const nlohmann::json& variant, std::size_t light) {
    return variant.at("report").at("lights").at(light).at("power_stops").get<double>();
}
std::string textOfSet(const std::string& compare) { return kBulbs + kNearFar + "[compare]\n" + compare; }

Outcome refused(const std::string& name, const std::string& scene, const std::string& options) {
    const fs::path folder = folderWith(name, scene);
    const Outcome o = runProgram("compare set.toml --samples 4 --out sheet.png " + options, folder);
    CHECK_FALSE(fs::exists(folder / "sheet.png"));
    return o;
}

}  // namespace

TEST_CASE("compare: the lamp that differs moves until the rest and it give the set exposure", "[program][compare]") {
    const auto c = compared("compare-power", textOfSet("equal_at = \"label\"\n"));
    const auto& v = c.at("variants");
    REQUIRE(v.size() == 3);
    CHECK(v[0].at("name") == "as written");
    CHECK(v[1].at("name") == "far");
    CHECK(c.at("lamps") == nlohmann::json::array({"key"}));
    // On the axis H = Q / (4 pi d^2); the rim stands 60 degrees up. f/11 at ISO 100 is 320 lx*s.
    const double rim_lxs = 3000.0 / 4.0 / (4.0 * M_PI) * 0.5;
    for (const auto& one : v) {
        const double d_m = one.at("name") == "far" ? 1.6 : one.at("name") == "near" ? 0.4 : 0.8;
        const double atFull_lxs = 40000.0 / (4.0 * M_PI * d_m * d_m);
        INFO(one.at("name"));
        CHECK_THAT(over(one), WithinAbs(0.0, 1e-6));
        CHECK_THAT(power(one, 0), WithinAbs(std::log2((320.0 - rim_lxs) / atFull_lxs), 0.003));
        CHECK_THAT(stops(one), WithinAbs(power(one, 0) + 3.0, 1e-9));
        CHECK(power(one, 1) == -2.0);
        CHECK(one.at("compensation").at("by") == "power");
        CHECK(one.at("compensation").at("beyond").empty());
    }
    // The rim has not moved: what it brings to the other probe is the same in every variant.
    const auto rimAt = [](const nlohmann::json& one) {
        return one.at("report").at("probes").at(1).at("by_light").at(1).at("exposure_lx_s").get<double>();
    };
    for (const auto& one : v) CHECK(rimAt(one) == Approx(rimAt(v[0])).epsilon(0.01));
    CHECK(v[2].at("caption") == "at half the distance");
    CHECK(v[2].at("set") == nlohmann::json{{"light.key.around.distance", "40"}});
}

TEST_CASE("compare: a variant that is alone differs from the set as written", "[program][compare]") {
    const auto c = compared("compare-alone", textOfSet("equal_at = \"label\"\n"), "--variants near");
    REQUIRE(c.at("variants").size() == 1);
    CHECK(c.at("lamps") == nlohmann::json::array({"key"}));
    CHECK_THAT(over(c.at("variants")[0]), WithinAbs(0.0, 1e-6));
    CHECK(compared("compare-written", textOfSet("equal_at = \"label\"\n"), "--variants as-written").at("lamps").empty());
}

TEST_CASE("compare: a lamp that all shown variants change alike differs from the set as written, and moves",
          "[program][compare]") {
    const std::string alike =
        "[[variant]]\nname = \"close\"\nset = { \"light.key.around.distance\" = 40, \"picture.width\" = 24 "
        "}\n";
    const auto c = compared("compare-alike", kBulbs + kNearFar + alike, "--variants near,close");
    CHECK(c.at("lamps") == nlohmann::json::array({"key"}));
    for (const auto& v : c.at("variants")) CHECK_THAT(over(v), WithinAbs(0.0, 1e-6));
}

TEST_CASE("compare: lamps = all, a list, and cards alone", "[program][compare][long]") {
    const auto all = compared("compare-all", textOfSet("lamps = \"all\"\n")).at("variants");
    for (const auto& v : all) {
        CHECK_THAT(over(v), WithinAbs(0.0, 1e-6));
        CHECK_THAT(power(v, 1) + 2.0, WithinAbs(power(v, 0) + 3.0, 1e-9));  // by the same stops
    }
    const auto named = compared("compare-named", textOfSet("lamps = [\"rim\"]\n")).at("variants");
    CHECK(power(named[1], 0) == -3.0);
    // At 40 cm the key is over the set exposure by itself: no rim can mend that.
    CHECK(named[2].at("compensation").at("stops").is_null());
    CHECK_THAT(named[2].at("compensation").at("impossible").get<std::string>(), Contains("over by itself"));
    CHECK_FALSE(warning(named[2].at("report"), "not-equal-exposure").empty());
    CHECK(power(named[2], 1) == -2.0);

    const std::string card = kBulbs + R"(
[[board]]
name = "fill"
at = [-20, 0, 20]
aim = [0, 0, 0]
[[variant]]
name = "bare"
set = { "board.fill.on" = false }
)";
    const auto still = compared("compare-card", card);
    const Outcome o =
        runProgram("compare set.toml --samples 4 --out sheet.png", folderWith("compare-card-text", card));
    CHECK_THAT(o.out, Contains("2 of 2 variants · exposed as set\n") && !Contains("equal exposure at") &&
                          !Contains("set for equal"));
    CHECK(still.at("lamps").empty());
    for (const auto& v : still.at("variants")) CHECK(power(v, 0) == -3.0);
    CHECK(std::abs(over(still.at("variants")[0])) > 0.05);
    CHECK_THAT(warning(still.at("variants")[0].at("report"), "not-equal-exposure"), Contains("lamps = \"all\""));
}

TEST_CASE("compare: by the camera's numbers", "[program][compare][long]") {
    const auto iso = compared("compare-iso", textOfSet("by = \"iso\"\n")).at("variants");
    const auto aperture = compared("compare-aperture", textOfSet("by = \"aperture\"\n")).at("variants");
    const auto none = compared("compare-none", textOfSet("by = \"none\"\n")).at("variants");
    for (std::size_t v = 0; v < 3; ++v) {
        CHECK(stops(none[v]) == 0.0);
        CHECK_THAT(over(iso[v]), WithinAbs(0.0, 1e-6));
        CHECK_THAT(over(aperture[v]), WithinAbs(0.0, 1e-6));
        CHECK_THAT(stops(iso[v]), WithinAbs(-over(none[v]), 1e-9));  // + is more light
        CHECK_THAT(std::log2(iso[v].at("report").at("camera").at("iso_exact").get<double>() / 100.0), WithinAbs(stops(iso[v]), 1e-9));
        const double n = aperture[v].at("report").at("camera").at("aperture_exact");
        CHECK_THAT(2.0 * std::log2(n / std::pow(2.0, 3.5)), WithinAbs(-stops(iso[v]), 1e-9));
        CHECK_FALSE(warning(aperture[v].at("report"), "depth-of-field-moves").empty());
        CHECK(power(iso[v], 0) == -3.0);
    }
    std::string steady = textOfSet("by = \"shutter\"\n");
    for (std::size_t at; (at = steady.find("\"flash\"")) != std::string::npos;) steady.replace(at, 7, "\"continuous\"");
    for (std::size_t at; (at = steady.find("lumen_seconds")) != std::string::npos;) steady.replace(at, 13, "lumens");
    for (std::size_t at; (at = steady.find("lamp = \"flash-bulb\"")) != std::string::npos;) steady.replace(at, 19, "lamp = \"led-disc\"");
    const auto shutter = compared("compare-shutter", steady).at("variants");
    for (const auto& v : shutter) CHECK_THAT(over(v), WithinAbs(0.0, 1e-6));
    CHECK_THAT(std::log2(shutter[0].at("report").at("camera").at("shutter_s").get<double>() * 128.0), WithinAbs(stops(shutter[0]), 1e-9));
}

TEST_CASE("compare: a power that the lamp does not have is shown and marked", "[program][compare]") {
    const fs::path folder = folderWith("compare-beyond", textOfSet("") + "[[variant]]\nname = \"farthest\"\nset = { \"light.key.around.distance\" = 640 }\n");
    const auto report = reportOf("compare set.toml --samples 4 --out sheet.png", folder);
    const auto& v = report.at("compare").at("variants").at(3);
    const double missing = power(v, 0);
    CHECK(missing > 0.1);
    CHECK_THAT(over(v), WithinAbs(0.0, 1e-6));
    CHECK_THAT(v.at("compensation").at("beyond").at(0).at("stops").get<double>(), WithinAbs(missing, 1e-9));
    CHECK_THAT(warning(report, "power-out-of-range"), Contains("farthest: key would need") && Contains("stops more than this lamp has"));
    const Outcome o = runProgram("compare set.toml --samples 4 --out sheet.png", folder);
    CHECK_THAT(o.out, Contains("stops more than this lamp has") && Contains("nearest on the dial: as written: key 1/"));
    CHECK(Picture8(folder / "sheet.png").width == 1600);
}

TEST_CASE("compare: which variants, in which order, and the set as written once", "[program][compare]") {
    const auto two = compared("compare-names", kBulbs + kNearFar, "--variants near,as-written").at("variants");
    REQUIRE(two.size() == 2);
    CHECK(two[0].at("name") == "near");
    CHECK(two[1].at("name") == "as written");
    CHECK(two[1].at("change").at("against") == "near");
    const std::string same = "[[variant]]\nname = \"usual\"\nset = { \"light.key.around.distance\" = 80 }\n";
    const auto once = compared("compare-once", kBulbs + kNearFar + same).at("variants");
    REQUIRE(once.size() == 3);
    CHECK(once[0].at("name") == "far");
}

TEST_CASE("compare: the difference map says how much light, and finds none where there is none", "[program][compare]") {
    const std::string half = R"(
[[variant]]
name = "half"
set = { "light.key.power" = "1/16", "light.rim.power" = "1/8" }
[[variant]]
name = "same"
set = { "probe.other.on" = false }
[compare]
by = "none"
)";
    const fs::path folder = folderWith("compare-difference", kBulbs + half);
    const auto c = reportOf("compare set.toml --samples 4 --out sheet.png --pictures each --difference a.png --difference as-written,same=b.png", folder).at("compare");
    const auto& d = c.at("differences");
    REQUIRE(d.size() == 2);
    // One stop down on every lamp: every pixel that the ball covers is a stop darker, and surely so, since
    // both pictures have the same paths. The rest is black in both.
    CHECK(d[0].at("darker").get<double>() > 0.005);
    CHECK(d[0].at("brighter") == 0.0);
    CHECK(d[0].at("within_noise") == 0.0);
    CHECK(d[1].at("darker") == 0.0);
    CHECK(d[1].at("brighter") == 0.0);
    for (const char* file : {"a.png", "b.png", "each-as-written.png", "each-half.png", "each-same.png"}) CHECK(fs::exists(folder / file));
    CHECK(textOf(folder / "each-as-written.png").size() > 0);
}

TEST_CASE("compare: 24 variants are a sheet, 25 are refused", "[program][compare][long]") {
    std::string many = kBulbs;
    for (int v = 1; v <= 24; ++v)
        many += "[[variant]]\nname = \"v" + std::to_string(v) + "\"\nset = { \"light.key.around.distance\" = " + std::to_string(50 + 5 * v) + " }\n";
    many.replace(many.find("width = 48"), 10, "width = 12");
    const fs::path folder = folderWith("compare-24", many);
    const auto v = reportOf("compare set.toml --samples 4 --quality draft --out sheet.png", folder).at("compare").at("variants");
    CHECK(v.size() == 24);
    CHECK(Picture8(folder / "sheet.png").height > 6 * 250);
    const Outcome o = refused("compare-25", many + "[[variant]]\nname = \"v25\"\nset = {}\n", "");
    CHECK(o.exitCode == 3);
    CHECK_THAT(o.err, Contains("set.toml: error: 25 variants; allowed: at most 24") && Contains("keyfall series"));
}

TEST_CASE("compare: what it refuses, with nothing written", "[program][compare]") {
    const std::string good = kBulbs + kNearFar;
    Outcome o = refused("compare-no-variant", kBulbs, "");
    CHECK(o.exitCode == 3);
    CHECK_THAT(o.err, Contains("no [[variant]]"));
    o = refused("compare-unknown", good, "--variants nera");
    CHECK(o.exitCode == 2);
    CHECK_THAT(o.err, Contains("--variants nera") && Contains("it has as-written, far, near") && Contains("did you mean \"near\"?"));
    o = refused("compare-twice", good, "--variants near,near");
    CHECK(o.exitCode == 2);
    o = refused("compare-bad-key", good + "[[variant]]\nname = \"odd\"\nset = { \"light.key.powr\" = 1 }\n", "");
    CHECK(o.exitCode == 3);
    CHECK_THAT(o.err, Contains("set.toml:49:9: error: ") && Contains("did you mean \"power\"?"));
    o = refused("compare-itself", good, "--difference near,near=a.png");
    CHECK(o.exitCode == 2);
    o = refused("compare-sizes", good + "[[variant]]\nname = \"wide\"\nset = { \"picture.width\" = 60 }\n", "--difference as-written,wide=a.png");
    CHECK(o.exitCode == 2);
    CHECK_THAT(o.err, Contains("48 x 32") && Contains("60 x 40"));
    o = refused("compare-inside", good + "[[variant]]\nname = \"in\"\nset = { \"probe.label.at\" = [0, -11, 0] }\n", "");
    CHECK(o.exitCode == 3);  // the last variant's mistake, before the first is rendered
    CHECK_THAT(o.err, Contains("error: variant \"in\": probe.label.at: lies inside \"ball\""));
    for (const char* output : {"--page nowhere/a.html", "--difference nowhere/a.png", "--pictures nowhere/a", "--json nowhere/a.json"}) {
        INFO(output);
        o = refused("compare-nowhere", good, output);
        CHECK(o.exitCode == 5);
        CHECK_THAT(o.err, Contains("there is no folder nowhere"));
    }
    CHECK(refused("compare-same-file", good, "--difference sheet.png").exitCode == 2);
}

TEST_CASE("compare: Ctrl-C leaves the variants that were finished", "[program][compare][long]") {
    // The second variant alone is large: it takes far longer than the clock that stops it.
    const fs::path folder = folderWith("compare-stopped", kBulbs + "[[variant]]\nname = \"large\"\nset = { \"picture.width\" = 3000 }\n");
    const Outcome o = runProgram("compare set.toml --samples 64 --threads 1 --out sheet.png --page page.html --json a.json", folder,
                                 "timeout --foreground --preserve-status -s INT 4");
    INFO(o.err);
    CHECK(o.exitCode == 6);
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(report.at("stopped") == "interrupted");
    CHECK(report.at("compare").at("variants").size() == 1);
    CHECK(fs::exists(folder / "sheet.png"));
    CHECK(fs::exists(folder / "page.html"));
    CHECK_THAT(o.out, Contains("1 of 2 variants"));
}
