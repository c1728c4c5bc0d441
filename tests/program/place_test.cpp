// The `place` command as a user meets it: targets of which the place is known in closed form or in
// print, metered again with another seed; targets out of reach; refusals. Not here: the search
// alone.
#include <cmath>
#include <numbers>

#include "sets.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;

namespace {

/// A flash and a continuous bulb on stands, a receptor, nothing else. Light of a sphere falls off
/// by the inverse square law exactly; the receptor's disc of 2 cm takes off 2e-4.
const std::string kBulbs = kCamera + kNothingAround + R"([[light]]
name = "flash"
kind = "flash"
lamp = "flash-bulb"
guide_number = 22
rated_with = "none"
around = { point = [0, 0, 0], angle = 20, elevation = 30, distance = 100 }
[[light]]
name = "lamp"
kind = "continuous"
lamp = "flash-bulb"
lumens = 1000
around = { point = [0, 0, 0], angle = -20, elevation = 30, distance = 100 }
[[probe]]
name = "label"
at = [0, 0, 0]
normal = [0, 0, 1]
)";

/// The receptor looks straight at one of the bulbs.
std::string facing(const std::string& light) {
    return " --set 'probe.label.facing=\"" + light + "\"' ";
}

const std::string kWithoutNormal = [] {
    std::string scene = kBulbs;
    const std::string normal = "normal = [0, 0, 1]";
    return scene.replace(scene.find(normal), normal.size(), "facing = \"flash\"");
}();

struct Placed {
    nlohmann::json place;
    double value(const std::string& key) const { return place.at("values").at(key); }
};

/// Runs it, requires that it is reached in at most 25 evaluations, and meters the figure again
/// where it was placed, with another seed, at four times the points: within 0.05 stop or 2 %.
Placed reached(const std::string& scene, const std::string& figure, double target,
               const std::string& vary, const std::string& more = {},
               const std::string& again = "--quality final") {
    const auto folder = folderWith("place", scene);
    const auto report = reportOf("place set.toml --want '" + figure + " = " +
                                     std::to_string(target) + "' --vary " + vary + more,
                                 folder);
    const nlohmann::json place = report.at("place");
    INFO(place.dump(2));
    CHECK(place.at("reached") == true);
    CHECK(place.at("evaluations").get<int>() <= 25);
    std::printf("place, %s: %d evaluations, %.2f s in all, the slowest %.2f s\n", figure.c_str(),
                place.at("evaluations").get<int>(), place.at("seconds").get<double>(),
                place.at("slowest_evaluation_seconds").get<double>());
    std::string set;
    for (const auto& option : place.at("set")) set += " --set '" + option.get<std::string>() + "'";
    // A list of one value: the key as it is already.
    const auto metered =
        reportOf("series set.toml " + again + " --seed 77 --vary picture.width=100 --read '" + figure + "'" +
                     more + set,
                 folder);
    const auto& reading = metered.at("series").at("rows").at(0).at("readings").front();
    INFO(reading.dump());
    const bool inStops = figure.find("stops") == 0 || figure.find("contrast") == 0 ||
                         figure.find("background") == 0 || figure.find("depth") == 0;
    CHECK(std::abs(reading.at("value").get<double>() - target) < (inStops ? 0.05 : 0.02 * target));
    return {place};
}

void checkPlaceRefused(const std::string& options, int exitCode, const std::string& says) {
    checkRefusal(kBulbs, "place set.toml " + options + " --json out.json --out out.png", exitCode,
                 says, {"out.json", "out.png"});
}

std::string sceneFile(const std::string& name) {
    return textOf(std::filesystem::path(KEYFALL_TESTS) / "scenes" / name);
}

/// A white 30 x 40 card opposite the key on one line through the subject.
std::string cardSet() {
    return sceneFile("card_fill.toml");
}

}  // namespace

TEST_CASE("place: the distance of a bulb for f/8, by the guide number", "[program]") {
    // f = GN / d (ISO 100): 22 m / 8 = 2.75 m. By C = 250 a guide number of 22 is what it is, f/8
    // is 8.0.
    const Placed p = reached(kWithoutNormal, "reading(label, flash)", 8.0,
                             "light.flash.around.distance=50..500");
    CHECK(p.value("light.flash.around.distance") == Approx(275.0).epsilon(0.0175));
}

TEST_CASE("place: the power for f/11 is arithmetic after one evaluation", "[program]") {
    // Stops = 2 log2(N d / GN): f/11 is 11.314, at 1 m: -1.919 stops of full.
    const Placed p =
        reached(kWithoutNormal, "reading(label, flash)", 11.3137, "light.flash.power=1/64..1/1",
                " --set camera.shutter=8");  // 500 lx·s of the lamp, which are no part of it
    CHECK(p.place.at("evaluations").get<int>() <= 2);
    const std::string power = p.place.at("values").at("light.flash.power");
    REQUIRE(power.find("1/4+") == 0);
    CHECK(-2.0 + std::stod(power.substr(4)) ==
          Approx(2.0 * std::log2(11.3137 / 22.0)).margin(0.03));
}

TEST_CASE("place: relit readings are those that a trace under these powers finds", "[program]") {
    // Both lights' powers move: stops of the sum, and of one light alone. In closed form: f/11 is
    // 320 lx·s, the flash has half of that, and both lamps stand 20 degrees round and 30 up from
    // the receptor's axis.
    const std::string bounds =
        " --vary light.lamp.power=1/64..1/1 --want 'stops(label, flash) = -1' ";
    const auto folder = folderWith("place-relit", kBulbs);
    const auto report = reportOf(
        "place set.toml --set camera.shutter=8 --want 'stops(label) = 0.5' --vary "
        "light.flash.power=1/64..1/1" +
            bounds,
        folder);
    const auto& place = report.at("place");
    INFO(place.dump(2));
    // The last evaluation is a trace of its own at these powers.
    CHECK(place.at("reached") == true);
    CHECK(place.at("evaluations").get<int>() <= 2);
    CHECK(place.at("results").at(0).get<double>() == Approx(0.5).margin(0.05));
    CHECK(place.at("results").at(1).get<double>() == Approx(-1.0).margin(0.05));
    CHECK(report.at("probes").at(0).at("stops_over") == place.at("results").at(0));
    const double cosine = std::cos(std::numbers::pi / 9.0) * std::cos(std::numbers::pi / 6.0);
    const double flash_lxs = 2.5 * 22.0 * 22.0 * cosine;
    const double lamp_lx = 1000.0 / (4.0 * std::numbers::pi) * cosine;
    const auto stopsOf = [&](std::size_t light) {
        return report.at("lights").at(light).at("power_stops").get<double>();
    };
    CHECK(stopsOf(0) == Approx(std::log2(160.0 / flash_lxs)).margin(0.06));
    CHECK(stopsOf(1) == Approx(std::log2((320.0 * std::sqrt(2.0) - 160.0) / (8.0 * lamp_lx))).margin(0.1));
}

TEST_CASE("place: lux, luminous exposure and shutter of a lamp that burns", "[program]") {
    // E = Phi / (4 pi d^2): 500 lx of 1000 lm at 39.9 cm; 79.58 lx at 1 m give 20 lx·s in 0.2513 s.
    const std::string lampAlone = facing("lamp") + "--set light.flash.on=false";
    const Placed lux = reached(kWithoutNormal, "lux(label)", 500.0,
                               "light.lamp.around.distance=15..200", lampAlone);
    CHECK(lux.value("light.lamp.around.distance") ==
          Approx(100.0 * std::sqrt(1000.0 / (4.0 * std::numbers::pi * 500.0))).epsilon(0.0125));
    const Placed time =
        reached(kWithoutNormal, "exposure(label)", 20.0, "camera.shutter=1/60..2", lampAlone);
    CHECK(std::stod(time.place.at("values").at("camera.shutter").get<std::string>()) ==
          Approx(20.0 * 4.0 * std::numbers::pi / 1000.0).epsilon(0.025));
}

TEST_CASE("place: ISO for the set exposure", "[program]") {
    // N^2 goes with the ISO: the flash alone is f/22.0 at ISO 100, so f/11, which is 11.314, at
    // ISO 26.4.
    const Placed p = reached(kWithoutNormal, "stops(label, flash)", 0.0, "camera.iso=12..800");
    CHECK(p.value("camera.iso") == Approx(100.0 * std::pow(11.3137 / 22.0, 2.0)).epsilon(0.04));
}

TEST_CASE("place: where the light falls at an angle, by the cosine law", "[program]") {
    // Half the light at 60 degrees from the receptor's axis: exact for a sphere wholly above its
    // horizon.
    const Placed p =
        reached(kBulbs, "exposure(label, flash)", 0.5 * 2.5 * 22.0 * 22.0,
                "light.flash.around.angle=0..85", " --set light.flash.around.elevation=0");
    CHECK(p.value("light.flash.around.angle") == Approx(60.0).margin(0.8));
}

TEST_CASE("place: a card's distance for a fill of two and of three stops", "[program]") {
    // Key side to fill side by numerical integration over the card (reflectance 0.85, key at 80
    // cm): 1.98 stops at 20 cm, 2.96 at 30 cm. The card stands at negative x; 0.05 stop is 0.6 cm.
    const Placed two =
        reached(cardSet(), "contrast(key-side, fill-side)", 1.98, "board.card.at.x=-60..-8");
    CHECK(two.value("board.card.at.x") == Approx(-20.0).margin(0.6));
    const Placed ratio =
        reached(cardSet(), "kf_f(key-side, fill-side)", std::exp2(2.96), "board.card.at.x=-60..-8");
    CHECK(ratio.value("board.card.at.x") == Approx(-30.0).margin(0.6));
}

TEST_CASE("place: box size and distance for a shadow edge of 20 mm", "[program][long]") {
    // An even front of w, a over a flag that is b over the table: 10-90 % is .8 w b/a (similar
    // triangles). A box is brighter in the middle and its edge up to a tenth narrower
    // (tests/laws/shadow_edge_law_test.cpp).
    const Placed p = reached(sceneFile("edge_box.toml"), "edge(edge)", 20.0,
                             "modifier.box.opening=20..100 --vary light.key.at.y=60..200", "",
                             "--samples 8192");
    const double b = 10.0, a = p.value("light.key.at.y") - b;
    CHECK(0.8 * 10.0 * p.value("modifier.box.opening") * b / a == Approx(21.0).margin(1.3));
    // So many paths that 2 % can be told: the ± is under it, by the program's own choice.
    const auto interval = p.place.at("results_interval95").at(0);
    CHECK(0.5 * (interval.at(1).get<double>() - interval.at(0).get<double>()) < 0.02 * 20.0);
    CHECK(p.place.at("edge_paths").get<int>() > 1024);
}

TEST_CASE("place: two keys, two targets", "[program]") {
    // Lux by the inverse square law, 10 000 lm: 1000 lx at 89.2 cm. The key is not beside its 80
    // cm, so the card is where it is; that it is right, the readings say.
    const auto folder = folderWith("place-two", cardSet());
    const auto report = reportOf(
        "place set.toml --want 'lux(key-side) = 1000' --want 'contrast(key-side, fill-side) = 2 "
        "stops' "
        "--vary light.lamp.at.x=50..150 --vary board.card.at.x=-60..-8",
        folder);
    const auto& place = report.at("place");
    INFO(place.dump(2));
    CHECK(place.at("reached") == true);
    CHECK(place.at("evaluations").get<int>() <= 25);
    CHECK(place.at("values").at("light.lamp.at.x").get<double>() ==
          Approx(100.0 * std::sqrt(10000.0 / (4.0 * std::numbers::pi * 1000.0))).epsilon(0.011));
    CHECK(place.at("results").at(1).get<double>() == Approx(2.0).margin(0.05));
}

TEST_CASE("place: the tone of a background by its lamp's power", "[program][long]") {
    // A spot on a wall: stops add up with power, so the picture's tone gives the power in closed
    // form.
    const std::string wall = kBallSet + R"(
[[light]]
name = "wash"
kind = "flash"
lamp = "flash-bulb"
lumen_seconds = 3000
at = [60, 40, -25]
aim = [0, 20, -60]
)";
    const Placed p = reached(wall, "background()", -1.5, "light.wash.power=1/64..1/1",
                             " --set light.key.on=false");
    CHECK(p.place.at("evaluations").get<int>() <= 2);
}

TEST_CASE("place: an angle at which the glaze mirrors the lamp no longer", "[program][long]") {
    const std::string glazed = R"(
[camera]
at = [0, 20, 90]
look_at = [0, 7, 0]
[picture]
width = 192
[material.glaze]
base = "plastic"
reflectance = 0.2
roughness = 0.05
[[product]]
name = "caddy"
mesh = ")" KEYFALL_ROOT R"(/assets/meshes/tea_caddy.obj"
height = 14
material = "glaze"
[[light]]
name = "key"
kind = "continuous"
lamp = "led-panel"
lumens = 1000
around = { point = [0, 7, 0], angle = 30, elevation = 20, distance = 45 }
)";
    const auto folder = folderWith("place-mirrors", glazed);
    const auto report = reportOf(
        "place set.toml --want 'mirrors(key, caddy/glaze) < 0.6' --vary "
        "light.key.around.angle=10..170",
        folder);
    const auto& place = report.at("place");
    INFO(place.dump(2));
    CHECK(place.at("reached") == true);
    // Held against the table of mirrored faces that every report has, before and after.
    const auto share = [&](const std::string& angle) {
        const auto metered = reportOf(
            "meter set.toml --samples 64 --seed 5 --set light.key.around.angle=" + angle, folder);
        for (const auto& face : metered.at("mirrors"))
            for (const auto& m : face.at("mirrored"))
                if (m.at("name") == "key") return m.at("luminous_percent").get<double>();
        return 0.0;
    };
    CHECK(share("30") > 0.9);
    CHECK(share(std::to_string(place.at("values").at("light.key.around.angle").get<double>())) <
          0.6);
}

TEST_CASE("place: a target out of reach says so, and how near it comes", "[program]") {
    const auto folder = folderWith("place-far", kWithoutNormal);
    const Outcome o = runProgram(
        "place set.toml --want 'reading(label, flash) = f/45' --vary "
        "light.flash.around.distance=100..300 --json a.json",
        folder);
    INFO(o.out << o.err);
    CHECK(o.exitCode == 0);
    CHECK_THAT(o.out, Contains("NOT reached") && Contains("no value found between these bounds"));
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(report.at("place").at("reached") == false);
    // Nearest is the lower bound: 22 m / 1 m = f/22; f/45 is exactly 45.25, 2.08 stops more.
    CHECK(report.at("place").at("values").at("light.flash.around.distance").get<double>() ==
          Approx(100.0));
    CHECK(report.at("place").at("results").at(0).get<double>() == Approx(22.0).epsilon(0.02));
    CHECK_THAT(o.out, Contains("2.08 stops less than wanted"));
    CHECK_FALSE(warning(report, "target-not-reached").empty());
}

TEST_CASE("place: impossible places are walls, and a place beyond one is found", "[program]") {
    // Distances below 0 cannot be; f/22 (22.627) stands at 97.2 cm, between the wall and the first
    // reading.
    const auto folder = folderWith("place-wall", kWithoutNormal);
    const auto report = reportOf(
        "place set.toml --want 'reading(label, flash) = 22.627' --vary "
        "light.flash.around.distance=-200..1000",
        folder);
    INFO(report.at("place").dump(2));
    CHECK(report.at("place").at("reached") == true);
    CHECK(report.at("place").at("values").at("light.flash.around.distance").get<double>() ==
          Approx(97.2).epsilon(0.0175));
    const Outcome nowhere = runProgram(
        "place set.toml --want 'lux(label) = 5' --vary light.flash.around.distance=-9..-5 --json "
        "b.json",
        folder);
    CHECK(nowhere.exitCode == 3);
    CHECK_THAT(nowhere.err, Contains("anywhere between these bounds"));
    CHECK_FALSE(std::filesystem::exists(folder / "b.json"));
}

TEST_CASE("place: --time ends the search after a whole evaluation, and it is metered there", "[program]") {
    const auto folder = folderWith("place-time", kWithoutNormal);
    const std::string search =
        "place set.toml --want 'reading(label, flash) = 8' --vary light.flash.around.distance=50..500";
    const auto whole = reportOf(search, folder);
    CHECK(whole.at("place").at("reached") == true);
    CHECK(whole.at("place").at("evaluations").get<int>() > 3);
    const auto cut = reportOf(search + " --time 0.00001", folder);
    CHECK(cut.at("place").at("evaluations") == 2);
    CHECK(cut.at("stopped") == "time");
    CHECK(cut.at("place").at("reached") == false);
}

TEST_CASE("place: what Ctrl-C cuts short claims nothing of the places not looked at", "[program][long]") {
    const auto folder = folderWith("place-cut", kBulbs);
    const Outcome o = runProgram(
        "place set.toml --threads 1 --samples 1048576 --want 'stops(label) = 25' "
        "--vary light.flash.around.distance=30..300 --json a.json",
        folder, "timeout --preserve-status -s INT 4");
    INFO(o.out << o.err);
    CHECK(o.exitCode == 6);
    CHECK_THAT(o.out, Contains("interrupted") && !Contains("no value found") && !Contains("widen"));
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(warning(report, "target-not-reached").empty());
    CHECK_THAT(warning(report, "search-cut-short"), Contains("interrupted after"));
}

TEST_CASE("place: one picture at the end, of the set so placed", "[program]") {
    const auto folder = folderWith("place-picture", kBallSet);
    const Outcome o = runProgram(
        "place set.toml --quality draft --want 'stops(front) = 0' --vary light.key.power=1/16..1/1 "
        "--out a.png --json a.json",
        folder);
    INFO(o.err);
    CHECK(o.exitCode == 0);
    CHECK(std::filesystem::file_size(folder / "a.png") > 500);
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(report.at("picture").at("width") == 48);
    CHECK(report.at("lights").at(0).at("power") ==
          report.at("place").at("values").at("light.key.power"));
}

TEST_CASE("place: what is wrong with the command line is said before any work", "[program]") {
    const std::string want = "--want 'stops(label) = 0' ";
    const std::string vary = " --vary light.flash.around.distance=50..90";
    checkPlaceRefused(want, 2, "--vary is required");
    checkPlaceRefused(vary, 2, "--want is required");
    checkPlaceRefused(want + "--vary light.flash.around.distance=50", 2, "no bounds");
    checkPlaceRefused(want + "--vary light.flash.around.distance=50..50", 2, "is empty");
    checkPlaceRefused(want + "--vary light.flash.around.distance=50..90/4", 2, "\"90/4\" is no number");
    checkPlaceRefused(want + "--vary light.flash.distance=50..90", 2, "is no known key");
    checkPlaceRefused(want + vary + vary, 2, "twice");
    checkPlaceRefused("--want 'stops(label)'" + vary, 2, "there is no target");
    checkPlaceRefused("--want 'stops(label) = bright'" + vary, 2, "is no number");
    checkPlaceRefused("--want 'stops(label) = 2 mm'" + vary, 2, "not the unit of stops");
    checkPlaceRefused("--want 'reading(label) = f/x'" + vary, 2, "is no f-number");
    checkPlaceRefused("--want 'ratio(label, label) = 2'" + vary, 2, "kf_f(A, B)");
    checkPlaceRefused("--want 'lux(label) = -2'" + vary, 2, "never -2");
    checkPlaceRefused("--want 'lux(table) = 2'" + vary, 2, "there is no probe \"table\"");
    checkPlaceRefused(want + vary + " --set limits.iso=[100,800] --vary camera.iso=1000..2000", 2,
                 "[limits]");
    const Outcome o =
        runProgram("place set.toml " + want + vary + " --out nowhere/b.png --json b.json",
                   folderWith("place-nowhere", kBulbs));
    CHECK(o.exitCode == 5);
    CHECK_THAT(o.err, Contains("there is no folder nowhere"));
}
