// One definition at a time: units, laws behind derived values, and mistakes. Not here: the shipped
// library (library_shipped.cpp).
#include "scene/library_definitions.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "scene/colour.h"
#include "scene/library_values.h"
#include "scene/read_toml.h"

using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using namespace keyfall;

namespace {

Value toml(const char* text) {
    return std::get<Value>(parseToml(text, "test.toml"));
}
Material material(const char* text) {
    return materialFrom("m", toml(text), ".");
}
LampModel lampOf(const char* text) {
    return lampFrom("l", toml(text), ".", {});
}

}  // namespace

TEST_CASE("materials: a tint is what passes through its depth, Beer-Lambert", "[library][law]") {
    // T = exp(-a*d) (Bouguer, Lambert, Beer): half at 2 cm is ln 2 per 2 cm; twice the depth
    // squares.
    const Material m = material("base = 'glass'\ntint = [0.5, 0.5, 0.5]\ntint_depth = 2");
    for (int b = 0; b < kBands; ++b) {
        const auto a_perM = static_cast<double>(m.absorption_perM[b]);
        CHECK_THAT(a_perM, WithinRel(std::log(2.0) / 0.02, 1e-5));
        CHECK_THAT(std::exp(-a_perM * 0.04), WithinRel(0.25, 1e-5));
    }
}

TEST_CASE("materials: absorption in 1/cm, and a tint of it is the same glass", "[library][law]") {
    const Material a = material("base = 'glass'\nabsorption = [0.1, 0.7, 2.0]");
    const Material t = material("base = 'glass'\ntint = [0.904837418, 0.496585304, 0.135335283]");
    for (int b = 0; b < kBands; ++b)
        CHECK_THAT(static_cast<double>(a.absorption_perM[b]),
                   WithinRel(static_cast<double>(t.absorption_perM[b]), 1e-4));
    const Material grey = material("base = 'glass'\nabsorption = [0.3, 0.3, 0.3]");
    CHECK_THAT(static_cast<double>(grey.absorption_perM[5]), WithinRel(30.0, 1e-5));
    // A pure colour stays finite.
    CHECK(std::isfinite(absorptionFromTint(reflectanceFromRgb({1, 0, 0}), 0.01).largest()));
}

TEST_CASE("materials: hex colours are sRGB, lists are linear", "[library]") {
    // IEC 61966-2-1: code 118 is 0.1812 linear, code 255 is 1.
    const auto grey = linearFromHex("#767676");
    REQUIRE(grey);
    CHECK_THAT(static_cast<double>(grey->g), WithinAbs(0.1812, 5e-5));
    CHECK(linearFromHex("#FFffFF")->b == 1.0F);
    for (const char* text : {"#12345", "#1234567", "123456#", "#12 456", "#+12345", "#gggggg", ""})
        CHECK_FALSE(linearFromHex(text));
    const Material hex = material("colour = '#767676'"),
                   list = material("colour = [0.1812, 0.1812, 0.1812]");
    CHECK_THAT(static_cast<double>(hex.reflectance[3]),
               WithinAbs(static_cast<double>(list.reflectance[3]), 1e-4));
}

TEST_CASE("materials: keys land in their fields", "[library]") {
    const Material m = material(
        "base = 'plastic'\nreflectance = 0.3\nroughness = 0.4\nior = 1.6\n"
        "anisotropy = 0.2\npriority = 5\nsource = 'here'");
    CHECK(m.base == Base::plastic);
    CHECK(m.reflectance[9] == 0.3F);
    CHECK(m.roughness == 0.4F);
    CHECK(m.ior == 1.6F);
    CHECK(m.anisotropy == 0.2F);
    CHECK(m.priority == 5);
    CHECK(m.source == "here");
    CHECK(material("").reflectance[0] == 0.18F);
    CHECK(material("base = 'metal'\nmetal = 'gold'").index);
    const Material sheet =
        fabricFrom("f", toml("transmittance = 0.31\nreflectance = 0.62\nstraight = 0.02"), ".");
    CHECK(sheet.transmittance[4] == 0.31F);
    CHECK(sheet.reflectance[4] == 0.62F);
    CHECK(sheet.straight[4] == 0.02F);
}

TEST_CASE("lamps: centimetres become metres; power, times and efficacy", "[library]") {
    const LampModel l = lampOf(
        "shape = 'tube'\nsize = [8, 1.2]\nlumen_seconds_per_watt_second = 25\n"
        "lowest_power = '1/256'\nt05 = '1/1200'\npower_step = 0.1");
    CHECK(l.shape.kind == LampKind::tube);
    CHECK_THAT(static_cast<double>(l.shape.a_m), WithinRel(0.08, 1e-6));
    CHECK_THAT(static_cast<double>(l.shape.b_m), WithinRel(0.012, 1e-6));
    CHECK(l.efficacy == 25.0);
    CHECK(l.efficacyIsFlash);
    CHECK(*l.lowestPower_stops == -8.0);
    CHECK_THAT(*l.t05_s, WithinRel(1.0 / 1200, 1e-12));
    CHECK(*l.powerStep_stops == 0.1);
    const LampModel panel =
        lampOf("shape = 'panel'\nsize = [60, 30]\nboth_sides = true\nlumens_per_watt = 80");
    CHECK(panel.shape.bothSides);
    CHECK_FALSE(panel.efficacyIsFlash);
    CHECK(panel.efficacy == 80.0);
    CHECK_FALSE(lampOf("shape = 'disc'\nsize = [3]").efficacyGiven);
}

TEST_CASE("definitions: what cannot be is refused at its place", "[library]") {
    const auto problem = [](const char* text) {
        try {
            const Value table = toml(text);
            table.find("shape") ? (void)lampFrom("x", table, ".", {})
                                : (void)materialFrom("x", table, ".");
        } catch (const DefinitionError& e) {
            return std::to_string(e.place.line) + ": " + e.what();
        }
        return std::string("accepted");
    };
    CHECK(problem("base = 'wood'") ==
          "1: base: \"wood\"; diffuse, plastic, metal, glass or sheet is allowed");
    CHECK(
        problem("base = 'metal'\nmetal = 'tin'") ==
        "2: metal: \"tin\"; aluminium, brass, chromium, copper, gold, nickel, silver or a CSV file "
        "(nm, n, k) is allowed");
    CHECK_THAT(problem("base = 'metal'"), Contains("missing"));
    CHECK_THAT(problem("colour = [0.1, 1.2, 0]"), Contains("three shares from 0 to 1"));
    CHECK_THAT(problem("colour = 'blue'"), Contains("#1f4d66"));
    CHECK_THAT(problem("colour = '#ffffff'\nreflectance = 0.2"), Contains("one is allowed"));
    CHECK_THAT(problem("base = 'sheet'\ntransmittance = 0.6\nreflectance = 0.5"),
               Contains("more than 1"));
    CHECK_THAT(problem("base = 'sheet'\ntransmittance = 0.3\nstraight = 0.5\nreflectance = 0.1"),
               Contains("more than the transmittance"));
    CHECK(problem("shape = 'panel'\nsize = [60]") ==
          "2: size: [width, height] in cm is needed for a panel");
    CHECK_THAT(problem("shape = 'cube'\nsize = [60]"),
               Contains("sphere, tube, ring, disc or panel"));
    CHECK_THAT(problem("shape = 'disc'\nsize = [0]"), Contains("above 0 cm"));
    CHECK_THAT(problem("shape = 'disc'\nsize = [3]\nlowest_power = '7'"),
               Contains("more than full"));
    CHECK_THAT(problem("shape = 'disc'\nsize = [3]\nt05 = 'quick'"), Contains("1/1200"));
}
