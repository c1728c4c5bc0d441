// Shadow edges that `series` and `place` find are measured at one place of the set. Not here: how wide an edge is
// (tests/laws), `compare` (compare_edge_test.cpp).
#include "run_program.h"

using namespace keyfall::test;
using Catch::Matchers::Contains;

namespace {

/// A front of 40 cm and a tin: where its edge can be measured best changes with its distance.
const std::string kSheet = R"(
[picture]
width = 48
[lamp.sheet]
shape = "panel"
size = [40, 40]
[[block]]
name = "tin"
shape = "cylinder"
size = [10, 14]
[[light]]
name = "key"
kind = "continuous"
lamp = "sheet"
lumens = 3000
around = { point = [0, 8, 0], angle = 62, elevation = 34, distance = 80 }
)";

}  // namespace

TEST_CASE("series: a front that moves away narrows its edge row by row, all measured at one place", "[program]") {
    // P = D b / a falls with a where b stays: measured where each row's edge is best, b would change.
    const auto folder = folderWith("series-edge", kSheet);
    const std::string what = "series set.toml --quality draft --read \"edge(key-shadow)\" --vary light.key.around.";
    const auto rows = reportOf(what + "distance=50,60,70,80,100,120", folder).at("series").at("rows");
    double last_mm = 1e9;
    for (const auto& row : rows) {
        const double mm = row.at("readings").at("edge(key-shadow)").at("value");
        CHECK(mm < 0.95 * last_mm);
        CHECK(row.at("note").is_null());
        last_mm = mm;
    }
    // From the other side the shadow falls elsewhere: that is said.
    const auto turned = reportOf(what + "angle=62,-62 --csv edge.csv", folder);
    CHECK_THAT(turned.at("series").at("rows").at(1).at("note").get<std::string>(), Contains("another place"));
    CHECK_THAT(warning(turned, "edge-moved"), Contains("row 1"));
    CHECK_THAT(textOf(folder / "edge.csv"), Contains("another place"));
}

TEST_CASE("place: an edge's width is reached between two distances of which each would be measured elsewhere",
          "[program]") {
    const auto folder = folderWith("place-edge", kSheet);
    const auto report = reportOf(
        "place set.toml --quality draft --want \"edge(key-shadow) = 72 mm\" --vary light.key.around.distance=40..150",
        folder);
    CHECK(report.at("place").at("reached").get<bool>());
    CHECK(report.at("edges").at(0).at("width_10_90_mm").get<double>() == Approx(72.0).epsilon(0.02));
}
