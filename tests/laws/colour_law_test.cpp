// Colour of lights as the program reports it. Not here: the formulas (tests/scene/colour_quality_test.cpp).
#include "scene/colour_quality.h"
#include "scene/fine_spectrum.h"
#include "scene_law.h"

using namespace keyfall::test;
using namespace keyfall;
using Catch::Matchers::Contains;

namespace {

// Two bare balls far from anything that reflects, each with a meter that sees it alone, and one between.
const char* const kTwo = R"(
[table]
shape = "none"
[backdrop]
shape = "none"
[camera]
at = [0, 0, 300]
look_at = [0, 0, 0]
white_balance = "key"
[material.soot]
base = "diffuse"
reflectance = 0.0
[material.red]
base = "diffuse"
colour = [0.5, 0.05, 0.04]
[material.grey]
base = "diffuse"
reflectance = 0.18
[gel.leaf]
green = 150
transmittance = 0.05
[lamp.ball]
shape = "sphere"
size = [3]
surface = "soot"
[[product]]
name = "caddy"
mesh = ")" KEYFALL_ROOT R"(/assets/meshes/tea_caddy.obj"
height = 4
material = "red"
at = [0, -80, 0]
[[product]]
name = "card"
mesh = ")" KEYFALL_ROOT R"(/assets/meshes/tea_caddy.obj"
height = 4
material = "grey"
at = [20, -80, 0]
[[light]]
name = "key"
kind = "flash"
lamp = "ball"
lumen_seconds = 1000
colour_temperature = 5500
at = [0, 0, 100]
aim = [0, 0, 0]
[[light]]
name = "fill"
kind = "flash"
lamp = "ball"
lumen_seconds = 500
colour_temperature = 3200
at = [0, 0, -100]
aim = [0, 0, 0]
[[probe]]
name = "front"
at = [0, 0, 0]
normal = [0, 0, 1]
receptor = 0
[[probe]]
name = "back"
at = [0, 0, 0]
normal = [0, 0, -1]
receptor = 0
[[probe]]
name = "side"
at = [0, 0, 0]
normal = [1, 0, 0]
kind = "dome"
receptor = 0
)";

nlohmann::json colourOf(const std::string& options, nlohmann::json* whole = nullptr) {
    const auto report = reportOf("meter set.toml --samples 256 " + options, folderWith("colour-law", kTwo));
    if (whole != nullptr) *whole = report;
    return report.at("colour");
}

const nlohmann::json& probeColour(const nlohmann::json& colour, const std::string& name) {
    for (const auto& p : colour.at("probes"))
        if (p.at("probe") == name) return p;
    throw std::runtime_error("no probe " + name);
}

Correlated temperatureOf(glm::dvec3 xyz) { return correlatedTemperature(chromaticity(xyz)); }

}  // namespace

TEST_CASE("colour: each light and the light at each probe have the temperature of their spectrum", "[law]") {
    nlohmann::json report;
    const auto colour = colourOf("", &report);
    const glm::dvec3 day = bandXYZ(lampSpectrum(5500)).total(), tungsten = bandXYZ(lampSpectrum(3200)).total();
    CHECK(colour.at("lights").at(0).at("colour_temperature").get<double>() == Approx(temperatureOf(day).temperature_K).epsilon(1e-9));
    CHECK(colour.at("lights").at(1).at("colour_temperature").get<double>() == Approx(3200.0).epsilon(1e-6));
    CHECK(colour.at("lights").at(0).at("ssi") == 100);  // CIE daylight against CIE daylight of its own temperature
    CHECK(colour.at("lights").at(1).at("ssi_reference") == "planckian");
    CHECK(probeColour(colour, "front").at("colour_temperature").get<double>() == Approx(temperatureOf(day).temperature_K).epsilon(1e-5));
    CHECK(probeColour(colour, "back").at("duv").get<double>() == Approx(0.0).margin(1e-5));
    // The dome sees both at 90 degrees, half of each; the fill has half the light.
    const Correlated both = temperatureOf(day + 0.5 * tungsten);
    CHECK(probeColour(colour, "side").at("colour_temperature").get<double>() == Approx(both.temperature_K).epsilon(1e-3));
    CHECK(probeColour(colour, "side").at("duv").get<double>() == Approx(both.duv).margin(1e-4));
    CHECK(probeColour(colour, "side").at("colour_temperature_interval95").size() == 2);
    CHECK(colour.at("white_balance").at("setting") == "key");
    CHECK(colour.at("white_balance").at("colour_temperature").get<double>() == Approx(temperatureOf(day).temperature_K).epsilon(1e-9));
    // Automatic white is the light at the first incident probe, which sees the key alone.
    const auto automatic = colourOf("--set camera.white_balance=auto").at("white_balance");
    CHECK(automatic.at("setting") == "auto");
    CHECK(automatic.at("colour_temperature").get<double>() == Approx(temperatureOf(day).temperature_K).epsilon(1e-5));
    const auto kelvin = colourOf("--set camera.white_balance=3200").at("white_balance");
    CHECK(kelvin.at("setting") == 3200.0);
    CHECK(kelvin.at("colour_temperature").get<double>() == Approx(3200.0).epsilon(1e-6));
    // The filter 85B of the handbooks: 131 mired from 5500 to 3200 K.
    const auto& pair = colour.at("pairs").at(0);
    CHECK(pair.at("mired").get<double>() == Approx(131.0).margin(1.0));
    CHECK_THAT(warning(report, "lamps-differ-in-colour"), Contains("131 mired") && Contains("warming gel of that shift on key"));
}

TEST_CASE("colour: two lights as the library of spectra says, products by CIEDE2000", "[law]") {
    const auto pair = colourOf("").at("pairs").at(0);
    CHECK(pair.at("ssi") == spectralSimilarityIndex(lampSpectrum(5500), lampSpectrum(3200)));
    CHECK(pair.at("ssi_reversed") == spectralSimilarityIndex(lampSpectrum(3200), lampSpectrum(5500)));
    REQUIRE(pair.at("materials").size() == 2);
    CHECK(pair.at("materials").at(0).at("material") == "red");
    CHECK(pair.at("materials").at(0).at("delta_e_2000").get<double>() ==
          Approx(deltaEBalanced(reflectanceFromRgb({0.5F, 0.05F, 0.04F}), bandXYZ(lampSpectrum(5500)), bandXYZ(lampSpectrum(3200)))).epsilon(1e-6));
    CHECK(pair.at("materials").at(1).at("delta_e_2000").get<double>() == Approx(0.0).margin(1e-6));
}

TEST_CASE("colour: the warning begins at 10 mired, and looks at lights that are on", "[law]") {
    nlohmann::json report;
    const auto warns = [&](const std::string& options) {
        colourOf(options, &report);
        return !warning(report, "lamps-differ-in-colour").empty();
    };
    // From 5500 K (181.8 mired) 9 and 11 mired on: 5239 and 5185 K.
    CHECK_FALSE(warns("--set light.fill.colour_temperature=5239"));
    CHECK(warns("--set light.fill.colour_temperature=5185"));
    // Across the Planckian locus it begins at Duv 0.005, and is cured by magenta or green, not by warming.
    const std::string gel = "--set light.fill.colour_temperature=5500 --set light.fill.gel=minus-green-";
    CHECK(warns(gel + "quarter"));
    CHECK(report.at("colour").at("pairs").at(0).at("duv").get<double>() < -0.005);
    const std::string cure = "a minus-green gel on key, or a plus-green one on fill";
    CHECK_THAT(warning(report, "lamps-differ-in-colour"), Contains("key is greener than fill by Duv") && Contains(cure) && !Contains("warming"));
    CHECK(warns(gel + "full"));  // 18 mired apart, too
    CHECK_THAT(warning(report, "lamps-differ-in-colour"), Contains("brings their temperatures together") && Contains(cure));
    CHECK_FALSE(warns("--lights key"));
    CHECK(report.at("colour").at("pairs").empty());
    // A green gel leaves the Planckian locus by more than a colour temperature can say.
    CHECK(warns("--set light.fill.gel=leaf --set light.fill.colour_temperature=5500"));
    CHECK(report.at("colour").at("lights").at(1).at("duv").get<double>() > 0.05);
    CHECK(report.at("colour").at("lights").at(1).at("colour_temperature").is_null());
    CHECK(probeColour(report.at("colour"), "back").at("colour_temperature").is_null());
    CHECK_THAT(warning(report, "no-colour-temperature"), Contains("probe back"));
}
