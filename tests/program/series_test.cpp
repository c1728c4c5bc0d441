// The `series` command as a user meets it: values, table, parts that are merged, refusals, memory.
// Not here: what its figures are worth (tests/meter, tests/laws).
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmath>

#include "sets.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;

namespace {

/// A bulb and a receptor in the dark, nothing else: rows of some milliseconds.
const std::string kBulb = kNothingAround + kBulbAndLabel;

void checkSeriesRefused(const std::string& options, int exitCode, const std::string& says) {
    checkRefusal(kBulb, "series " + options + " --csv out.csv", exitCode, says, {"out.csv"});
}

/// Most memory that one run of the program held, KiB; of this run alone, whatever ran before.
long peakOf(const std::string& arguments, const std::filesystem::path& folder) {
    const std::string line = "cd '" + folder.string() + "' && exec '" + program() + "' " +
                             arguments + " >/dev/null 2>&1";
    const pid_t child = fork();
    if (child == 0) {
        execl("/bin/sh", "sh", "-c", line.c_str(), nullptr);
        _exit(127);
    }
    int status = 0;
    rusage used{};
    REQUIRE(wait4(child, &status, 0, &used) == child);
    REQUIRE(WIFEXITED(status));
    REQUIRE(WEXITSTATUS(status) == 0);
    return used.ru_maxrss;
}

}  // namespace

TEST_CASE("series: rows are what meter reads, powers run in even stops, both ends are in",
          "[program]") {
    const auto folder = folderWith("series-rows", kBulb);
    const auto report = reportOf(
        "series set.toml --vary light.bulb.power=1/8..1/1/4 --read 'exposure(label)' --seed 3",
        folder);
    const auto& rows = report.at("series").at("rows");
    REQUIRE(rows.size() == 4);
    const char* powers[] = {"1/8", "1/4", "1/2", "1/1"};
    for (std::size_t i = 0; i < 4; ++i) {
        CHECK(rows.at(i).at("values").at(0) == powers[i]);
        const auto alone = reportOf(
            std::string("meter set.toml --seed 3 --set light.bulb.power=") + powers[i], folder);
        // The same paths of the same seed: equal to the last bit.
        CHECK(rows.at(i).at("readings").at("exposure(label)").at("value") ==
              alone.at("probes").at(0).at("exposure_lx_s"));
    }
}

TEST_CASE("series: two keys, a list of words, a coordinate, a range of centimetres", "[program]") {
    const auto folder = folderWith("series-two", kBulb);
    // Inverse square law, exact for a sphere; 1287 lm·s / (4 pi 0.8^2) = 160 lx·s; mean of a disc
    // of 1 cm radius.
    const auto report = reportOf(
        "series set.toml --vary light.bulb.around.distance=40..160/3 --vary "
        "light.bulb.on=true,false --read 'exposure(label)'",
        folder);
    const auto& rows = report.at("series").at("rows");
    REQUIRE(rows.size() == 6);
    const double cm[] = {40.0, 100.0, 160.0};
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(rows.at(i).at("values").at(0) == cm[i % 3]);
        CHECK(rows.at(i).at("values").at(1) == (i < 3 ? "true" : "false"));
        const double expected = i < 3 ? 160.0 * 6400.0 / (cm[i % 3] * cm[i % 3]) : 0.0;
        CHECK(rows.at(i).at("readings").at("exposure(label)").at("value").get<double>() ==
              Approx(expected).epsilon(0.003).margin(1e-9));
    }
    const auto moved =
        reportOf("series set.toml --vary probe.label.at.y=0,-30 --read 'exposure(label)'", folder);
    const double near =
        moved.at("series").at("rows").at(0).at("readings").at("exposure(label)").at("value");
    const double far =
        moved.at("series").at("rows").at(1).at("readings").at("exposure(label)").at("value");
    // The bulb stands 40 cm up and 69.28 cm away (elevation 30 degrees): 80 cm from y = 0; from y =
    // -30 cm the square of the distance is 4800 + 70^2.
    CHECK(near / far == Approx(9700.0 / 6400.0).epsilon(0.003));
}

TEST_CASE("series: a row that cannot be is told and null; only when none can, it is an error",
          "[program]") {
    const auto folder = folderWith("series-impossible", kBallSet);
    const std::string read = " --samples 64 --read 'exposure(front)' ";
    const Outcome some = runProgram(
        "series set.toml --vary light.key.around.distance=-5,60 --json a.json --csv a.csv" + read,
        folder);
    INFO(some.err);
    CHECK(some.exitCode == 0);
    const auto rows = nlohmann::json::parse(textOf(folder / "a.json")).at("series").at("rows");
    CHECK_THAT(rows.at(0).at("why").get<std::string>(), Contains("distance"));
    CHECK(rows.at(0).at("readings").at("exposure(front)").is_null());
    CHECK(rows.at(1).at("why").is_null());
    CHECK(rows.at(1).at("readings").at("exposure(front)").at("value").get<double>() > 0.0);
    const Outcome none = runProgram(
        "series set.toml --vary light.key.around.distance=-5,-6 --json b.json" + read, folder);
    CHECK(none.exitCode == 3);
    CHECK_THAT(none.err, Contains("none of the 2 rows can be"));
    CHECK_FALSE(std::filesystem::exists(folder / "b.json"));
}

TEST_CASE("series: parts run by GNU parallel and merged are the whole run, byte for byte",
          "[program][long]") {
    const auto folder = folderWith("series-parts", kBallSet);
    const std::string what =
        "--samples 64 --vary light.key.around.angle=0..90/4 --vary light.key.power=1/4,1/1 --quiet "
        "--read 'contrast(lit-side, shadow-side)' --read 'edge(key-shadow)'";
    const std::string outputs = "series.csv --plot series.svg --json series.json";
    REQUIRE(runProgram("series set.toml " + what + " --csv " + outputs, folder).exitCode == 0);
    for (const char* file : {"series.csv", "series.svg", "series.json"})
        std::filesystem::rename(folder / file, folder / (std::string("whole-") + file));
    const std::string parallel =
        "parallel --will-cite -j2 \"'" + program() + "' series set.toml " + what +
        " --threads 1 --part {}/3 --json part{}.json\" ::: 1 2 3 2>parallel.txt && ";
    const Outcome merged =
        runProgram("series --merge part2.json part1.json part3.json --quiet --csv " + outputs,
                   folder, parallel);
    INFO(merged.err << textOf(folder / "parallel.txt"));
    REQUIRE(merged.exitCode == 0);
    for (const char* file : {"series.csv", "series.svg", "series.json"}) {
        INFO(file);
        CHECK(textOf(folder / file).size() > 400);
        CHECK(textOf(folder / file) == textOf(folder / (std::string("whole-") + file)));
    }
    const Outcome lacking =
        runProgram("series --merge part2.json part3.json --csv lacking.csv", folder);
    CHECK(lacking.exitCode == 4);
    CHECK_THAT(lacking.err, Contains("lack 3 of 8 rows (row 0, 3, 6)"));
    CHECK(
        runProgram("series --merge part1.json part2.json part3.json part2.json", folder).exitCode ==
        4);
    REQUIRE(runProgram("series set.toml " + what + " --seed 2 --part 3/3 --json other.json", folder)
                .exitCode == 0);
    CHECK_THAT(runProgram("series --merge part1.json part2.json other.json", folder).err,
               Contains("another series"));
    CHECK_THAT(runProgram("series --merge set.toml", folder).err, Contains("no part of a series"));
    CHECK_FALSE(std::filesystem::exists(folder / "lacking.csv"));
}

TEST_CASE("series: Ctrl-C before the first row is whole leaves older files alone", "[program]") {
    const auto folder = folderWith("series-cut-early", kBallSet);
    write(folder / "a.csv", "older");
    const Outcome o = runProgram(
        "series set.toml --threads 1 --samples 4194304 --vary light.key.around.distance=40..90/9 --csv a.csv "
        "--plot a.svg --json a.json",
        folder, "timeout --preserve-status -s INT 1");
    CHECK(o.exitCode == 6);
    CHECK_THAT(o.err, Contains("stopped before the first row was whole; nothing is written"));
    CHECK(textOf(folder / "a.csv") == "older");
    CHECK_FALSE(std::filesystem::exists(folder / "a.svg"));
    CHECK_FALSE(std::filesystem::exists(folder / "a.json"));
}

TEST_CASE("series: times between two of the dial run in exact stops", "[program]") {
    std::string steady = kBulb;
    steady.replace(steady.find("\"flash\""), 7, "\"continuous\"");
    steady.replace(steady.find("lumen_seconds"), 13, "lumens");
    const auto folder =
        folderWith("series-shutter", "[camera]\nat = [0, 10, 90]\nlook_at = [0, 0, 0]\n" + steady);
    const auto report = reportOf(
        "series set.toml --quality draft --vary camera.shutter=1/125..1/8/5 --read 'exposure(label)'",
        folder);
    const auto& rows = report.at("series").at("rows");
    REQUIRE(rows.size() == 5);
    // One light, one seed: exposure is illuminance times 2^-(7 - k) s, the steps that dials name.
    const char* names[] = {"1/125", "1/60", "1/30", "1/15", "1/8"};
    const auto exposure = [&](std::size_t k) {
        return rows[k].at("readings").at("exposure(label)").at("value").get<double>();
    };
    for (std::size_t k = 0; k < 5; ++k) {
        CHECK(rows[k].at("values").at(0) == names[k]);
        CHECK(std::log2(exposure(k) / exposure(0)) == Approx(static_cast<double>(k)).margin(1e-6));
    }
}

TEST_CASE("series: a figure that is missing says why", "[program]") {
    const auto folder = folderWith("series-missing", kBallSet);
    const auto report = reportOf(
        "series set.toml --quality draft --vary light.key.on=true,false --read \"k_f(shadow-side, "
        "lit-side)\" "
        "--read \"stops(front)\" --read \"edge(key-shadow)\" --csv a.csv",
        folder);
    const auto& rows = report.at("series").at("rows");
    // Key to fill is (K+F):F less 1: below 0 where the first side is the darker, and no ratio is.
    CHECK(rows.at(0).at("readings").at("k_f(shadow-side, lit-side)").is_null());
    CHECK_THAT(rows.at(0).at("missing").at("k_f(shadow-side, lit-side)").get<std::string>(),
               Contains("shadow-side is the darker"));
    CHECK_FALSE(rows.at(0).at("missing").contains("stops(front)"));
    CHECK(rows.at(1).at("missing").at("stops(front)") == "no light is on at front");
    CHECK_THAT(rows.at(1).at("missing").at("edge(key-shadow)").get<std::string>(),
               Contains("is its light on"));
    CHECK_THAT(warning(report, "reading-missing"),
               Contains("row 0: no k_f(shadow-side, lit-side): shadow-side is"));
    CHECK_THAT(textOf(folder / "a.csv"), Contains("no stops(front): no light is on at front"));
}

TEST_CASE("series: Ctrl-C keeps the rows that are whole", "[program][long]") {
    const auto folder = folderWith("series-cut", kBallSet);
    const Outcome o = runProgram(
        "series set.toml --quality final --vary light.key.around.distance=40..90/900 --csv a.csv "
        "--json a.json",
        folder, "timeout --preserve-status -s INT 2");
    INFO(o.err);
    CHECK(o.exitCode == 6);
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    CHECK(report.at("stopped") == "interrupted");
    const std::size_t rows = report.at("series").at("rows").size();
    CHECK(rows < 900);
    for (const auto& row : report.at("series").at("rows"))
        CHECK(row.at("readings").at("reading(front)").at("value").is_number());
    const std::string csv = textOf(folder / "a.csv");
    CHECK(static_cast<std::size_t>(std::count(csv.begin(), csv.end(), '\n')) == rows + 1);
    CHECK_THAT(o.err, Contains("of 900 rows"));
}

TEST_CASE("series: --time ends it after a whole row", "[program]") {
    const auto folder = folderWith("series-time", kBallSet);
    const auto report = reportOf(
        "series set.toml --quality final --vary light.key.around.distance=40..90/20 --time 0.1", folder);
    CHECK(report.at("stopped") == "time");
    const auto& rows = report.at("series").at("rows");
    CHECK(rows.size() >= 1);
    CHECK(rows.size() < 20);
    for (const auto& row : rows) CHECK(row.at("readings").at("reading(front)").at("value").is_number());
}

TEST_CASE("series: what clips is a percentage of the area", "[program]") {
    // Half of the plate is black and stays so; the white half is 9 stops over and clips, all of it.
    const auto folder = folderWith("series-clipped", kCamera + kNothingAround + kBulbAndLabel + R"(
[picture]
width = 96
[material.soot]
base = "diffuse"
reflectance = 0.0
[[product]]
name = "plate"
mesh = "plate.obj"
unit = "cm"
at = [0, -10, 0]
materials = { white = "white-paper", black = "soot" }
)");
    write(folder / "plate.obj",
          "v -10 0 0\nv 0 0 0\nv 10 0 0\nv 10 20 0\nv 0 20 0\nv -10 20 0\n"
          "usemtl white\nf 1 2 5 6\nusemtl black\nf 2 3 4 5\n");
    const auto report = reportOf(
        "series set.toml --set camera.iso=25600 --quality draft --vary light.bulb.power=1/1,1/1024 --read "
        "'clipped(plate)' --read 'clipped(plate/white-paper)' --read 'clipped(plate/soot)'", folder);
    const auto clipped = [&](std::size_t row, const std::string& area) {
        const auto& readings = report.at("series").at("rows").at(row).at("readings");
        return readings.at("clipped(" + area + ")").at("value").get<double>();
    };
    CHECK(clipped(0, "plate") == Approx(50.0).margin(4.0));  // a column of pixels lies across the border
    CHECK(clipped(0, "plate/white-paper") > 95.0);
    CHECK(clipped(0, "plate/soot") < 5.0);
    CHECK(clipped(1, "plate") == 0.0);
}

TEST_CASE("series: the contact sheet is a picture of every row", "[program]") {
    const auto folder = folderWith("series-sheet", kBallSet);
    const Outcome o = runProgram(
        "series set.toml --samples 64 --quality draft --vary light.key.around.angle=0..40/5 --set "
        "camera.sensor=[36,3] --sheet sheet.png",
        folder);
    INFO(o.err);
    CHECK(o.exitCode == 0);
    CHECK(std::filesystem::file_size(folder / "sheet.png") > 10000);
}

TEST_CASE("series: what is wrong with the command line is said before any work", "[program]") {
    checkSeriesRefused("set.toml", 2, "there is no --vary");
    checkSeriesRefused("--vary light.bulb.power=1/8..1/1/4", 2, "there is no scene");
    checkSeriesRefused("set.toml --vary light.bulb.powr=1/4,1/2", 2, "did you mean \"power\"");
    checkSeriesRefused("set.toml --vary light.blub.power=1/4,1/2", 2, "there is no light \"blub\"");
    checkSeriesRefused("set.toml --vary light.bulb.around.distance=60..60/3", 2,
                 "the range from 60 to 60 is empty");
    checkSeriesRefused("set.toml --vary light.bulb.around.distance=60..10/3", 2, "is empty");
    checkSeriesRefused("set.toml --vary light.bulb.around.distance=10..60", 2, "how many values");
    checkSeriesRefused("set.toml --vary light.bulb.around.distance=10..60/1", 2, "how many values");
    checkSeriesRefused("set.toml --vary light.bulb.around.distance=10..60/2000", 2, "too many");
    checkSeriesRefused("set.toml --vary light.bulb.around.distance=a..b/3", 2, "\"a\" is no number");
    checkSeriesRefused("set.toml --vary light.bulb.modifier=a..b/3", 2, "only numbers have a range");
    checkSeriesRefused("set.toml --vary light.bulb.around.distance=10,,20", 2, "a value is missing");
    const std::string vary = "set.toml --vary light.bulb.around.distance=40,60 ";
    checkSeriesRefused(vary + "--read 'ratio(label, label)'", 2, "contrast(A, B) in stops, kf_f(A, B)");
    checkSeriesRefused(vary + "--read 'stop(label)'", 2, "did you mean \"stops\"");
    checkSeriesRefused(vary + "--read 'lux(lable)'", 2, "did you mean \"label\"");
    checkSeriesRefused(vary + "--read 'lux(label, sun)'", 2, "there is no light \"sun\"");
    checkSeriesRefused(vary + "--read 'contrast(label)'", 2, "written: contrast(PROBE, PROBE)");
    checkSeriesRefused(vary + "--read 'mirrors(bulb, caddy)'", 2, "there is no area \"caddy\"");
    checkSeriesRefused(vary + "--part 9/8 --json a.json", 2, "names no part");
    checkSeriesRefused(vary + "--part 1/2", 2, "--part without --json");
    checkSeriesRefused(vary + "--sheet a.png --part 1/2 --json a.json", 2,
                 "--sheet needs the pictures of all rows");
    checkSeriesRefused(vary + "--plot a.jpg", 2, "ends neither in .svg nor in .png");
    checkSeriesRefused(vary + "--json nowhere/a.json", 5, "there is no folder nowhere");
    checkSeriesRefused("--merge missing.json", 4, "cannot be read");
}

TEST_CASE("series: of 200 values it holds one set at a time", "[program][long]") {
    if (programIsSanitized()) return;  // what is freed stays in its quarantine
    const auto folder = folderWith("series-memory", kBallSet);
    const auto rows = [](int n) {
        return "series set.toml --samples 16 --threads 1 --csv a.csv --vary "
               "light.key.around.distance=40..90/" +
               std::to_string(n);
    };
    const long few = peakOf(rows(10), folder);
    const long many = peakOf(rows(200), folder);
    INFO(few << " KiB of 10 rows, " << many << " of 200");
    // 190 sets of a ball, its table and backdrop are more than 20 MB.
    CHECK(many < few + 6000);
    const std::string csv = textOf(folder / "a.csv");
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 201);
}
