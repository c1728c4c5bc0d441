// Cast shadows that the program finds by itself, on the demo and where there are none. Not here: how exact a
// width is (edge_report_law_test.cpp).
#include "scene_law.h"

using namespace keyfall::test;

namespace {

nlohmann::json demo(const std::string& name, const std::vector<std::string>& set = {}) {
    return meterFile(KEYFALL_ROOT + ("/assets/scenes/" + name + ".toml"), freshFolder("edge-" + name), set,
                     "--quality draft");
}

}  // namespace

TEST_CASE("the demo's hard key throws the caddy's shadow onto the table", "[law][edge]") {
    const auto edges = demo("caddy_hard_key").at("edges");
    REQUIRE(edges.size() == 1);
    const auto& e = edges.at(0);
    CHECK(e.at("light") == "key");
    CHECK(e.at("caster") == "caddy");
    CHECK(e.at("receiver") == "table");
    CHECK(e.at("word") == "hard");
    CHECK(e.at("edge_count") == 1);
    CHECK(e.at("width_px").get<double>() > 0.0);
    // A bulb is a disk from afar: .687 of the whole (closed form), here on a slant of few degrees.
    CHECK(e.at("width_10_90_mm").get<double>() ==
          Approx(0.687 * e.at("width_full_mm").get<double>()).epsilon(0.04));
    // The card and the table light the shade, so it is far from black.
    CHECK(e.at("depth_stops").get<double>() > 1.0);
    CHECK(e.at("depth_stops").get<double>() < 4.0);
}

TEST_CASE("a soft box makes the demo's shadow edge centimetres wide", "[law][edge][long]") {
    const auto e = demo("caddy_softbox").at("edges").at(0);
    CHECK(e.at("caster") == "caddy");
    CHECK(e.at("width_10_90_mm").get<double>() > 20.0);
    CHECK(e.at("width_10_90_mm").get<double>() < e.at("width_full_mm").get<double>());
    const std::string word = e.at("word");
    CHECK((word == "soft" || word == "very soft"));
    CHECK(e.at("edge_count") == 1);
}

TEST_CASE("an open bowl throws two edges, of its bulb and of its mouth", "[law][edge][long]") {
    const auto e = demo("caddy_bowl").at("edges").at(0);
    CHECK(e.at("caster") == "caddy");
    CHECK(e.at("edge_count") == 2);
}

TEST_CASE("a shadow that the camera does not see is no edge, and a note says so", "[law][edge]") {
    // The light at the lens: all of the shadow is behind the ball.
    const auto folder =
        folderWith("edge-none", kBallSet + "[camera]\nat = [0, 30, 100]\nlook_at = [0, 5, 0]\n");
    const auto report = reportOf(
        "meter set.toml --quality draft --set light.key.around.angle=0"
        " --set light.key.around.elevation=14.04 --set light.key.around.distance=103",
        folder);
    CHECK(report.at("edges").empty());
    CHECK_FALSE(warning(report, "edge-not-found").empty());
    const auto dark = reportOf("meter set.toml --quality draft --set light.key.on=false", folder);
    CHECK(dark.at("edges").empty());
    CHECK(warning(dark, "edge-not-found").empty());
}
