// The demo of hard against soft: equal exposure holds when every variant is metered again at the powers that
// were found, with another seed. Expected: 0.03 stop, the requirement of the comparison. Not here: sets that
// are known in closed form (compare_test.cpp).
#include <catch2/catch.hpp>

#include "run_program.h"

using namespace keyfall::test;
using Catch::Matchers::WithinAbs;

TEST_CASE("compare: the demo's variants are at equal exposure, metered again with another seed", "[program][compare][long]") {
    const auto folder = freshFolder("compare-demo");
    const std::string scene = std::string("'") + KEYFALL_ROOT + "/assets/scenes/caddy_hard_or_soft.toml'";
    const auto report = reportOf("compare " + scene + " --set picture.width=48 --samples 4 --out sheet.png", folder);
    const auto& variants = report.at("compare").at("variants");
    REQUIRE(variants.size() == 6);
    for (const auto& v : variants) {
        const auto& light = v.at("report").at("lights").at(0);
        CHECK(v.at("compensation").at("beyond").empty());
        CHECK(v.at("compensation").at("lamps").size() == 1);
        std::string set = " --set 'light.key.power=" + std::to_string(light.at("power_stops").get<double>()) + " stops'";
        for (const auto& [key, value] : v.at("set").items()) set += " --set '" + key + "=" + value.get<std::string>() + "'";
        const auto again = reportOf("meter " + scene + " --seed 77" + set, folder);
        INFO(v.at("name") << set);
        CHECK_THAT(again.at("probes").at(0).at("picture_stops_over").get<double>(), WithinAbs(0.0, 0.03));
    }
}
