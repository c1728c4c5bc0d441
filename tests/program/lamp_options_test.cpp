// How `lamp` is asked, what it leaves on disk, what it refuses. Not here: its figures.
#include <catch2/catch.hpp>

#include "run_program.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

/// One lamp in a modifier, one bare, a meter that both shine on.
const std::string kBowlSet = R"([modifier.cone]
shape = "bowl"
profile = [[3, 0], [9, 8]]
inside = "white-paint"
lamp_at = 4
[[light]]
name = "key"
kind = "continuous"
lamp = "tungsten-bulb"
lumens = 1000
modifier = "cone"
at = [0, 50, 0]
aim = [0, 0, 0]
[[light]]
name = "bare"
kind = "flash"
lamp = "flash-bulb"
lumen_seconds = 1000
at = [50, 50, 0]
aim = [0, 0, 0]
[[probe]]
name = "label"
at = [0, 0, 0]
facing = "key"
)";

fs::path onlyTableOf(const fs::path& folder) {
    fs::path found;
    int tables = 0;
    for (const auto& entry : fs::recursive_directory_iterator(cacheOf(folder)))
        if (entry.is_regular_file()) found = entry.path(), ++tables;
    REQUIRE(tables == 1);
    return found;
}

Outcome good(const fs::path& folder, const std::string& arguments) {
    Outcome ran = runProgram(arguments, folder);
    INFO(ran.err);
    REQUIRE(ran.exitCode == 0);
    return ran;
}

const std::string kMeter = "meter set.toml --samples 1024 --json - ";

}  // namespace

TEST_CASE("tables: a kept one gives the same report, a damaged one is made again", "[program][lamp][long]") {
    const fs::path folder = folderWith("tables", kBowlSet);
    const std::string first = good(folder, kMeter).out;
    const fs::path table = onlyTableOf(folder);
    const std::string bytes = textOf(table);
    CHECK(good(folder, kMeter + "--threads 1").out == first);
    CHECK(good(folder, kMeter + "--no-cache").out == first);

    for (const std::string& damaged : {bytes.substr(0, bytes.size() / 2), std::string("not a table"), std::string()}) {
        write(table, damaged);
        CHECK(good(folder, kMeter).out == first);
        CHECK(textOf(table) == bytes);
    }
    // A link in the place of a table is replaced; what it leads to is not ours to write.
    write(folder / "other", "not ours");
    fs::remove(table);
    fs::create_symlink(folder / "other", table);
    CHECK(good(folder, kMeter).out == first);
    CHECK(textOf(folder / "other") == "not ours");
    CHECK((!fs::is_symlink(table) && textOf(table) == bytes));
    // Neither seed nor quality is another light; another lamp is.
    good(folder, kMeter + "--seed 2");
    good(folder, "meter set.toml --quality draft");
    CHECK(onlyTableOf(folder) == table);
    good(folder, kMeter + "--set light.key.lamp=flash-bulb");
    CHECK(std::distance(fs::directory_iterator(table.parent_path()), fs::directory_iterator()) == 2);
}

TEST_CASE("tables: without a place for them work goes on", "[program][lamp][long]") {
    const fs::path folder = folderWith("tables-nowhere", kBowlSet);
    const Outcome kept = good(folder, kMeter);
    // Relative paths are to be ignored (XDG Base Directory Specification); then HOME counts.
    for (const char* before : {"env -u HOME XDG_CACHE_HOME=here", "env -u XDG_CACHE_HOME HOME=/proc/none"}) {
        const Outcome ran = runProgram(kMeter, folder, before);
        CHECK(ran.exitCode == 0);
        CHECK(ran.out == kept.out);
    }
    CHECK_FALSE(fs::exists(folder / "here"));
}

TEST_CASE("lamp: plots are pictures, whole ones", "[program][lamp][long]") {
    const fs::path folder = folderWith("lamp-plots", kBowlSet);
    good(folder, "lamp set.toml --light key --quality draft --plot a.png --front b.svg --ies c.ies");
    CHECK(textOf(folder / "a.png").substr(1, 3) == "PNG");
    CHECK_THAT(textOf(folder / "b.svg"), Contains("<svg") && Contains("</svg>"));
    CHECK(textOf(folder / "c.ies").substr(0, 14) == "IES:LM-63-2019");
    for (const auto& entry : fs::directory_iterator(folder)) CHECK_THAT(entry.path().string(), !Contains(".part"));
}

TEST_CASE("lamp: what is asked wrongly is said before the work", "[program][lamp]") {
    const fs::path folder = folderWith("lamp-bad", kBowlSet);
    struct Wrong {
        const char* arguments;
        const char* message;
    };
    for (const Wrong& w : {Wrong{"", "needs a scene file, or --lamp and --modifier"},
                           Wrong{"set.toml", "which light? --light takes one of key, bare"},
                           Wrong{"set.toml --light kye", "no such light; it has key, bare"},
                           Wrong{"--lamp no-such", "the library holds no such; it holds"},
                           Wrong{"--lamp flash-bulb --modifier no-such", "the library holds no such; it holds"},
                           Wrong{"set.toml --light bare --plot a.jpg", "ends neither in .svg nor in .png"},
                           Wrong{"set.toml --light bare --ies a.txt", "does not end in .ies"},
                           Wrong{"set.toml --light bare --front a.png", "a bare lamp has no front"},
                           Wrong{"set.toml --light bare --plot a.png --front ./a.png", "is the same file as --plot"},
                           Wrong{"set.toml --light bare --lamp flash-bulb", "excludes"},
                           Wrong{"--lamp flash-bulb --time 3", "lamp takes no --time: how much it measures is set by --quality"},
                           Wrong{"--lamp flash-bulb --noise 0.1", "lamp takes no --noise"},
                           Wrong{"--lamp flash-bulb --samples 16", "lamp takes no --samples"},
                           Wrong{"--lamp flash-bulb --lumens 0", "--lumens"}}) {
        const Outcome ran = runProgram(std::string("lamp ") + w.arguments, folder);
        INFO(w.arguments);
        CHECK(ran.exitCode == 2);
        CHECK_THAT(ran.err + ran.out, Contains(w.message));
    }
    CHECK(runProgram("lamp set.toml --light bare --ies none/a.ies", folder).exitCode == 5);
    CHECK(runProgram("lamp none.toml", folder).exitCode == 3);
    int files = 0;
    for (const auto& entry : fs::directory_iterator(folder)) files += entry.path().extension() == ".txt" || entry.path() == folder / "set.toml" ? 0 : 1;
    CHECK(files == 0);
}

TEST_CASE("lamp: the report has the contract's keys and the safety lines", "[program][lamp]") {
    const fs::path folder = folderWith("lamp-report", kBowlSet);
    const Outcome ran = runProgram("lamp set.toml --light bare --quality draft --plot bare.svg --json lamp.json", folder);
    REQUIRE(ran.exitCode == 0);
    CHECK_THAT(ran.out, Contains("Safety") && Contains("cool") && Contains("capacitors") && Contains("stands") && Contains("cd·s"));
    const auto lamp = nlohmann::json::parse(textOf(folder / "lamp.json")).at("lamp");
    for (const char* key : {"light", "modifier", "flux_in", "flux_out", "absorbed", "axis_cd", "gain_stops", "beam_angle_deg",
                            "field_angle_deg", "at_1m", "guide_number", "evenness_stops"})
        CHECK(lamp.contains(key));
    for (const char* key : {"flux_out", "absorbed", "axis_cd", "gain_stops", "at_1m", "guide_number", "flux_metered"})
        CHECK(lamp.at(std::string(key) + "_interval95").is_array());
}

TEST_CASE("lamp: the file that a light is measured by is not written over", "[program][lamp]") {
    const fs::path folder = folderWith("lamp-measured", R"([[light]]
name = "key"
photometry = "measured.ies"
at = [0, 50, 0]
aim = [0, 0, 0]
)");
    const std::string web = "IES:LM-63-2019\nTILT=NONE\n1 -1 1 2 1 1 2 0.1 0.1 0\n1 1 0\n0 90\n0\n100 0\n";
    write(folder / "measured.ies", web);
    const Outcome ran = runProgram("lamp set.toml --quality draft --ies ./measured.ies", folder);
    CHECK(ran.exitCode == 2);
    CHECK_THAT(ran.err, Contains("--ies ./measured.ies is the same file as the photometry of light key"));
    CHECK(textOf(folder / "measured.ies") == web);
}

TEST_CASE("lamp: light that is not there is missing, not 0", "[program][lamp][long]") {
    const fs::path folder = folderWith("lamp-dark", R"([fabric.board]
transmittance = 0
reflectance = 0.5
[modifier.shut]
shape = "box"
opening = [20, 20]
depth = 15
inside = "black"
front = "board"
[[light]]
name = "key"
lumens = 1000
modifier = "shut"
at = [0, 50, 0]
aim = [0, 0, 0]
)");
    const Outcome ran = good(folder, "lamp set.toml --light key --quality draft --json lamp.json");
    CHECK_THAT(ran.out, Contains("none of it") && Contains("no light found") && !Contains("inf "));
    const auto lamp = nlohmann::json::parse(textOf(folder / "lamp.json")).at("lamp");
    for (const char* key : {"axis_cd", "axis_traced_cd", "at_1m", "gain_stops", "guide_number"}) {
        INFO(key);
        CHECK(lamp.at(key).is_null());
        CHECK(lamp.at(std::string(key) + "_interval95").is_null());
    }
}

TEST_CASE("lamp: a lamp of the library that nobody called a flash has the safety lines of both", "[program][lamp]") {
    const fs::path folder = folderWith("lamp-safety", kBowlSet);
    const Outcome ran = runProgram("lamp --lamp flash-bulb --quality draft", folder);
    CHECK_THAT(ran.out, Contains("capacitors") && Contains("Mains"));
}
