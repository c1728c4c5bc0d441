// The shadow edges that the program reports, against laws of penumbrae: closed forms and the exact profiles of
// a front of finite size, and what must not change them. Not here: profiles metered by hand
// (shadow_edge_law_test.cpp), finding a shadow on a set (edge_find_law_test.cpp).
#include "scene_law.h"

using namespace keyfall::test;

namespace {

/// The report's edges of tests/scenes/shadow_edge.toml as changed.
nlohmann::json edgesOf(const std::vector<std::string>& set, const std::string& quality = "final") {
    return meterScene("shadow_edge", set, 1, quality).at("edges");
}

nlohmann::json edgeOf(const std::vector<std::string>& set, const std::string& quality = "final") {
    const auto edges = edgesOf(set, quality);
    REQUIRE(edges.size() == 1);
    return edges.at(0);
}

/// A black post on a wide table, nothing behind it.
const std::string kPost = R"(
[table]
size = [200, 200]
[backdrop]
shape = "none"
[[block]]
name = "post"
size = [8, 20, 8]
material = "void"
[material.void]
reflectance = 0.0
)";

/// Within 1 %, and within 4 standard errors of its own interval.
void checkWidth(const nlohmann::json& edge, double exact_mm) {
    const double width = edge.at("width_10_90_mm");
    const double sigma = sigmaOf(edge, "width_10_90_mm");
    INFO(width << " +- " << sigma << " mm, exact " << exact_mm);
    CHECK(std::abs(width - exact_mm) < 0.01 * exact_mm);
    CHECK(std::abs(width - exact_mm) < 4.0 * sigma + 2e-3 * exact_mm);
}

}  // namespace

TEST_CASE("an even square's and disk's edges are as wide as the cosine-weighted integral says",
          "[law][edge][long]") {
    // 60 cm, 140 cm over the edge, which is 10 cm over the table: P = 42.857 mm. Lit over unlit light of the
    // clipped polygon (outside reference: Lambert's formula): 33.895 mm; of the disk 29.184 mm.
    const auto square = edgeOf({});
    checkWidth(square, 33.895);
    CHECK(square.at("width_full_mm").get<double>() == Approx(42.857).epsilon(1e-3));
    CHECK(square.at("throw_cm").get<double>() == Approx(10.0).epsilon(1e-3));
    CHECK(square.at("crossing_deg").get<double>() == Approx(90.0).margin(0.5));
    CHECK(square.at("caster") == "cutter");
    CHECK(square.at("edge_count") == 1);
    const auto disk = edgeOf({"lamp.front.shape=disc", "lamp.front.size=[60]"});
    checkWidth(disk, 29.184);
    CHECK(disk.at("width_full_mm").get<double>() == Approx(42.857).epsilon(0.01));
}

TEST_CASE("a large source close by has a narrower edge than similar triangles say", "[law][edge][long]") {
    // 1 m square, 50 cm over the edge, 10 cm of throw: P = 200 mm and .8 P = 160; the exact profile 130.4 mm
    // (outside reference, near_profile: cosine and distance weigh the far parts of the front less).
    const auto near = edgeOf({"lamp.front.size=[100,100]", "light.key.at=[0,60,0]"});
    checkWidth(near, 130.4);
    CHECK(near.at("width_full_mm").get<double>() == Approx(200.0).epsilon(1e-3));
}

TEST_CASE("small fronts: .8 P, .687 P across a disk, .5528 P across a square's diagonal",
          "[law][edge][long]") {
    // Visible fraction by similar triangles (chord areas, closed forms): exact for a small front; of 10 cm at
    // 140 cm the cosine takes 1.2 % (10/60)^2 = 0.03 %.
    const double P = 100.0 / 14.0;
    checkWidth(edgeOf({"lamp.front.size=[10,10]"}), 0.8 * P);
    checkWidth(edgeOf({"lamp.front.shape=disc", "lamp.front.size=[10]"}), 0.687049 * P);
    checkWidth(edgeOf({"lamp.front.size=[10,10]", "light.key.roll=45"}), 0.552786 * std::sqrt(2.0) * P);
    const auto sphere = edgeOf({"lamp.front.shape=sphere", "lamp.front.size=[10]"});
    checkWidth(sphere, 0.687049 * P);
}

TEST_CASE("the penumbra grows with the throw", "[law][edge][long]") {
    for (const double b : {2.0, 5.0, 20.0}) {
        const double P = 100.0 * b / (150.0 - b);
        const auto edge = edgeOf({"lamp.front.size=[10,10]", "flag.cutter.at=[-120," + number(b) + ",0]"});
        checkWidth(edge, 0.8 * P);
        CHECK(edge.at("throw_cm").get<double>() == Approx(b).epsilon(2e-3));
    }
}

TEST_CASE("a slanting line crosses the same edge: its crossing angle is divided out", "[law][edge]") {
    const auto straight = edgeOf({}, "preview");
    const auto slanting = edgeOf({"edge.edge.from=[-5,0,-8]", "edge.edge.to=[5,0,8]"}, "preview");
    CHECK(slanting.at("crossing_deg").get<double>() ==
          Approx(std::atan2(10.0, 16.0) * 180.0 / kPi).margin(0.5));
    CHECK(slanting.at("width_10_90_mm").get<double>() ==
          Approx(straight.at("width_10_90_mm").get<double>()).epsilon(0.04));
    const auto shallow =
        meterScene("shadow_edge", {"edge.edge.from=[-4,0,-8]", "edge.edge.to=[4,0,8]"}, 1, "draft");
    CHECK_FALSE(warning(shallow, "edge-shallow-crossing").empty());
}

TEST_CASE("power changes no edge", "[law][edge]") {
    const auto full = edgeOf({}, "preview");
    const auto low = edgeOf({"light.key.power=1/16"}, "preview");
    for (const char* key : {"width_10_90_mm", "width_full_mm", "depth_own_stops"})
        CHECK(low.at(key).get<double>() == Approx(full.at(key).get<double>()).epsilon(1e-9));
}

TEST_CASE("a skin's transmittance and a second skin of the same size change no edge", "[law][edge][long]") {
    // A photographic demonstration (outside reference). The front's evenness may move it a little, as in
    // shadow_edge_law_test.cpp: 3 %. The dim skin absorbs two thirds of what "full" lets pass.
    const std::string text = textOf(KEYFALL_TESTS + std::string("/scenes/shadow_box.toml"));
    const auto folder = folderWith("edge-skins", text + R"(
[fabric.dim]
transmittance = 0.117
reflectance = 0.57
[[edge]]
name = "edge"
from = [-5, 0, 0]
to = [5, 0, 0]
)");
    const auto width = [&](const std::vector<std::string>& set) {
        std::vector<std::string> all{"table.shape=top", "table.size=[300,300]",
                                     "table.material=velvet-black"};
        all.insert(all.end(), set.begin(), set.end());
        const auto edge = meterFile(folder / "set.toml", folder, all, "--samples 2048").at("edges").at(0);
        CHECK(edge.at("edge_count") == 1);
        return edge.at("width_10_90_mm").get<double>();
    };
    const double one = width({});
    CHECK(width({"modifier.big.front=dim"}) == Approx(one).epsilon(0.03));
    CHECK(width({"light.key.modifier=skinned"}) == Approx(one).epsilon(0.03));
    CHECK(one == Approx(0.8 * 120.0).epsilon(0.1));
    CHECK(width({"light.key.modifier=small"}) < 0.55 * one);
}

TEST_CASE("a second lamp throws a second edge", "[law][edge]") {
    // From 120 cm aside its edge falls 120 * 10/140 = 8.6 cm to the other side.
    const auto both =
        edgeOf({"light.second.on=true", "edge.edge.from=[-13,0,0]", "edge.edge.to=[6,0,0]"}, "preview");
    CHECK(both.at("edge_count") == 2);
    CHECK(both.at("light") == "key");
    // In its shade there is still the other's light: fewer stops with all lights on.
    CHECK(both.at("depth_stops").get<double>() < both.at("depth_own_stops").get<double>());
    const auto one = edgeOf({"edge.edge.from=[-13,0,0]", "edge.edge.to=[6,0,0]"}, "preview");
    CHECK(one.at("edge_count") == 1);
}

TEST_CASE("under an overhead light the shade is deepest at the caster's foot", "[law][edge]") {
    // 20 cm square, 80 cm over the post's middle; its rim is 20 cm up and 4 cm out. At z on the table the front is
    // seen from v = z + (4 - z) 88/20 on (similar triangles): 3/10 of it at the foot, all from z = 27.6/3.4 on,
    // straight in between. So 10-90 % is .8 (27.6/3.4 - 4) cm; cosine and distance move it by 0.3 % (quadrature:
    // 32.8 mm, .303 seen).
    const auto folder = folderWith("edge-foot", kPost + R"(
[lamp.panel]
shape = "panel"
size = [20, 20]
[[light]]
name = "key"
kind = "continuous"
lumens = 10000
lamp = "panel"
around = { point = [0, 8, 0], angle = 0, elevation = 90, distance = 80 }
)");
    const auto report = meterFile(folder / "set.toml", folder, {}, "--quality preview");
    const auto edge = report.at("edges").at(0);
    CHECK(edge.at("width_10_90_mm").get<double>() == Approx(8.0 * (27.6 / 3.4 - 4.0)).epsilon(0.015));
    CHECK(edge.at("depth_stops").get<double>() == Approx(std::log2(1.0 / 0.303)).margin(0.03));
    CHECK(warning(report, "edge-no-plateau").find("foot of post") != std::string::npos);
}

TEST_CASE("two lamps side by side throw two edges across a line that the program found", "[law][edge]") {
    const std::string one = kPost + R"(
[lamp.small]
shape = "panel"
size = [4, 4]
[[light]]
name = "key"
kind = "continuous"
lumens = 10000
lamp = "small"
around = { point = [0, 0, 0], angle = 90, elevation = 45, distance = 150 }
)";
    const std::string second = R"(
[[light]]
name = "two"
kind = "continuous"
lumens = 10000
lamp = "small"
around = { point = [0, 0, 0], angle = 75, elevation = 45, distance = 150 }
)";
    // One shadow beside the other, by the lamps' angle: 15 degrees of a throw of 16 cm are 4 cm.
    const auto folder = folderWith("edge-two", one + second);
    const auto both = meterFile(folder / "set.toml", folder, {}, "--quality preview").at("edges");
    REQUIRE(both.size() == 2);
    for (const auto& edge : both) CHECK(edge.at("edge_count") == 2);
    const auto alone = meterFile(folder / "set.toml", folder, {"light.two.on=false"}, "--quality preview");
    CHECK(alone.at("edges").at(0).at("edge_count") == 1);
    // Nothing else lights the black post's shade: no depth, and a warning says so.
    CHECK(alone.at("edges").at(0).at("depth_stops").is_null());
    CHECK_FALSE(warning(alone, "edge-no-depth").empty());
}

TEST_CASE("an edge that is not there is a warning, never 0", "[law][edge]") {
    const auto report =
        meterScene("shadow_edge", {"edge.edge.from=[30,0,0]", "edge.edge.to=[40,0,0]"}, 1, "draft");
    CHECK(report.at("edges").empty());
    CHECK_FALSE(warning(report, "edge-not-found").empty());
    const auto floating =
        meterScene("shadow_edge", {"edge.edge.from=[-5,4,0]", "edge.edge.to=[5,4,0]"}, 1, "draft");
    CHECK(floating.at("edges").empty());
    CHECK_FALSE(warning(floating, "edge-not-found").empty());
}
