// `compare`: how a shadow edge changes between variants. Expected: by similar triangles a small round lamp's edge
// is as wide as the lamp times throw over distance. Not here: one edge's width (tests/laws).
#include "run_program.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;

namespace {

const std::string kTin = R"(
[picture]
width = 48
[lamp.globe]
shape = "sphere"
size = [2]
[[block]]
name = "tin"
shape = "cylinder"
size = [10, 14]
[[block]]
name = "cup"
shape = "cylinder"
size = [6, 8]
at = [4, 0, 16]
on = false
[[light]]
name = "key"
kind = "continuous"
lamp = "globe"
lumens = 3000
around = { point = [0, 8, 0], angle = 62, elevation = 34, distance = 80 }
[camera]
at = [0, 40, 120]
look_at = [0, 8, 0]
[compare]
by = "none"
[[variant]]
name = "twice"
set = { "lamp.globe.size" = [4] }
[[variant]]
name = "half-power"
set = { "light.key.power" = "1/2" }
[[variant]]
name = "other-caster"
set = { "block.tin.on" = false, "block.cup.on" = true }
[[variant]]
name = "raised"
set = { "light.key.around.elevation" = 60 }
)";

}  // namespace

TEST_CASE("compare: an edge's change is a factor at the same throw, with its interval", "[program][compare]") {
    const auto folder = folderWith("compare-edge", kTin);
    const Outcome o = runProgram("compare set.toml --samples 16 --out sheet.png --json a.json", folder);
    INFO(o.err);
    REQUIRE(o.exitCode == 0);
    const auto report = nlohmann::json::parse(textOf(folder / "a.json"));
    const auto& variants = report.at("compare").at("variants");
    const auto change = [&](std::size_t v) { return variants.at(v).at("change").at("edges").at(0); };
    const auto throw_cm = [&](std::size_t v) {
        return variants.at(v).at("report").at("edges").at(0).at("throw_cm").get<double>();
    };
    CHECK(throw_cm(1) == Approx(throw_cm(0)).epsilon(0.01));
    CHECK_FALSE(change(1).at("at_same_throw").get<bool>());
    const auto interval = change(1).at("times_as_wide_interval95");
    const double half = 0.5 * (interval.at(1).get<double>() - interval.at(0).get<double>());
    CHECK(half > 0.0);
    CHECK(half < 0.05);
    CHECK(std::abs(change(1).at("times_as_wide").get<double>() - 2.0) < 2.0 * half + 0.01);
    // Power changes no edge, to the last bit: the same place, the same paths.
    CHECK(change(2).at("times_as_wide") == 1.0);
    CHECK(change(3).at("times_as_wide").is_null());
    CHECK_THAT(change(3).at("why").get<std::string>(), Contains("by cup, not by tin"));
    CHECK_THAT(warning(report, "edge-moved"), Contains("other-caster"));
    // A raised lamp throws the tin's rim another way; of width over throw.
    CHECK(change(4).at("at_same_throw").get<bool>());
    const auto width_mm = [&](std::size_t v) {
        return variants.at(v).at("report").at("edges").at(0).at("width_10_90_mm").get<double>();
    };
    CHECK(change(4).at("times_as_wide").get<double>() ==
          Approx(width_mm(4) / throw_cm(4) / (width_mm(0) / throw_cm(0))).epsilon(1e-6));
    CHECK_THAT(o.out, Contains("times as wide, at the same throw") && Contains("no factor: thrown by cup"));
}
