// `lamp` against closed forms, energy and its own files. Not here: its options (lamp_options_test.cpp).
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "run_program.h"
#include "scene/photometry_file.h"

using namespace keyfall;
using namespace keyfall::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double kPi = std::numbers::pi;

nlohmann::json lampIn(const std::filesystem::path& folder, const std::string& arguments) {
    return reportOf("lamp " + arguments, folder).at("lamp");
}

double half(const nlohmann::json& lamp, const std::string& key) {
    const auto& interval = lamp.at(key + "_interval95");
    return 0.5 * (interval.at(1).get<double>() - interval.at(0).get<double>());
}

std::string setWith(const std::string& light, const std::string& definitions = {}) {
    return definitions + "[[light]]\nname = \"key\"\nat = [0, 50, 0]\naim = [0, 0, 0]\n" + light;
}

}  // namespace

TEST_CASE("lamp: a bare ball sends its flux over 4 pi; its guide number", "[program][lamp]") {
    // 400 W s at 30 lm s per W s are 12 000 lm s; evenly over 4 pi sr 954.93 cd s. The incident meter's
    // equation N^2 = H S / C with H = I / d^2 (ISO 2720, C = 250) gives N d = sqrt(I S / C) = 19.54 m.
    const auto folder = folderWith("lamp-ball", setWith("kind = \"flash\"\nlamp = \"ball\"\nenergy = 400\n",
                                                        "[lamp.ball]\nshape = \"sphere\"\nsize = [4]\nlumen_seconds_per_watt_second = 30\n"));
    const auto lamp = lampIn(folder, "set.toml");
    CHECK(lamp.at("flux_in") == 12000.0);
    CHECK_THAT(lamp.at("axis_cd").get<double>(), WithinRel(12000.0 / (4.0 * kPi), 3e-4));
    CHECK_THAT(lamp.at("guide_number").get<double>(), WithinRel(std::sqrt(12000.0 / (4.0 * kPi) * 100.0 / 250.0), 3e-4));
    CHECK_THAT(lamp.at("guide_number").get<double>(), WithinAbs(19.5, 0.05));
    // A ball of even luminance lights like a point at its centre.
    CHECK_THAT(lamp.at("at_1m").get<double>(), WithinRel(12000.0 / (4.0 * kPi), 1e-4));
    CHECK_THAT(lamp.at("flux_metered").get<double>(), WithinRel(12000.0, 1e-3));
    CHECK_THAT(lamp.at("gain_stops").get<double>(), WithinAbs(0.0, 5e-4));
    CHECK(lamp.at("beam_angle_deg").is_null());  // never half as bright
    CHECK(lamp.at("modifier") == "none");
}

TEST_CASE("lamp: a Lambertian panel's beam is 120 degrees wide", "[program][lamp][long]") {
    // I = I0 cos: half at 60 degrees, a tenth at acos 0.1 = 84.26; flux pi I0 (Lambert).
    const auto folder = folderWith("lamp-panel", setWith("kind = \"continuous\"\nlamp = \"flat\"\nlumens = 1000\n",
                                                         "[lamp.flat]\nshape = \"panel\"\nsize = [30, 20]\n"));
    const auto lamp = lampIn(folder, "set.toml --ies flat.ies");
    CHECK_THAT(lamp.at("beam_angle_deg").get<double>(), WithinAbs(120.0, 0.1));
    CHECK_THAT(lamp.at("field_angle_deg").get<double>(), WithinAbs(2.0 * std::acos(0.1) * 180.0 / kPi, 0.1));
    CHECK_THAT(lamp.at("axis_cd").get<double>(), WithinRel(1000.0 / kPi, 3e-4));
    CHECK(lamp.at("guide_number").is_null());
    const PhotometricWeb web = readPhotometry(folder / "flat.ies");
    CHECK_THAT(fluxByInterpolation_lm(web), WithinRel(1000.0, 0.003));
    CHECK_THAT(web.opening_m.x, WithinAbs(0.30, 1e-6));
}

TEST_CASE("lamp: light in a bowl is out or absorbed, and the file holds what comes out", "[program][lamp][long]") {
    const auto folder = freshFolder("lamp-bowl");
    const auto lamp = lampIn(folder, "--lamp flash-bulb --modifier bowl-18 --lumen-seconds 1000 --ies bowl.ies");
    const double out = lamp.at("flux_out"), absorbed = lamp.at("absorbed"), metered = lamp.at("flux_metered");
    // Conservation of energy; absorbed is summed at the surfaces.
    CHECK_THAT(out + absorbed, WithinRel(1000.0, 0.002));
    CHECK_THAT(lamp.at("flux_out_straight").get<double>() + lamp.at("flux_out_scattered").get<double>(), WithinRel(out, 1e-9));
    CHECK(out > 500.0);
    CHECK(absorbed > 10.0);
    // What the table says left is what meters around it find.
    CHECK_THAT(metered, WithinAbs(out, 0.003 * out + 2.0 * half(lamp, "flux_metered")));
    CHECK(lamp.at("gain_stops").get<double>() > 0.5);
    CHECK(lamp.at("beam_angle_deg").get<double>() < 150.0);

    const double written = fluxByInterpolation_lm(readPhotometry(folder / "bowl.ies"));
    CHECK_THAT(written, WithinRel(lamp.at("ies_flux").get<double>(), 1e-6));
    CHECK_THAT(written, WithinRel(out, 0.003));
}

TEST_CASE("lamp: rated with a bowl and then used bare, it is the bare lamp", "[program][lamp][long]") {
    const std::string bare = "kind = \"continuous\"\nlamp = \"tungsten-bulb\"\n";
    const auto folder = folderWith("lamp-rated", setWith(bare + "lumens = 5000\nmodifier = \"bowl-18\"\n"));
    const double lux = lampIn(folder, "set.toml --seed 7").at("at_1m");
    write(folder / "rated.toml", setWith(bare + "rated_with = \"bowl-18\"\nmodifier = \"none\"\nlux_at_1m = " + std::to_string(lux) + "\n"));
    const double flux = lampIn(folder, "rated.toml").at("flux_in");
    CHECK(std::abs(std::log2(flux / 5000.0)) < 0.01);
}
