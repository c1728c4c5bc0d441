// Gels: mired arithmetic, densities, what they do to a lamp of a scene. Not here: rendering.
#include <cmath>

#include "scene/colour.h"
#include "scene/gel.h"
#include "scene/library.h"
#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

const Library& shipped() {
    static const Library library = readLibrary();
    return library;
}

Correlated colourOf(const FineSpectrum& light) {
    return correlatedTemperature(chromaticity(bandXYZ(light).total()));
}

double temperatureThrough(double lamp_K, const Gel& gel) {
    return colourOf(through(lampSpectrum(lamp_K), gel)).temperature_K;
}

Light gelledLight(const std::string& more, const std::string& definitions = {}) {
    const std::string place = "kind = \"continuous\"\nat = [0, 5, 100]\naim = [0, 5, 0]\n";
    return sceneOf(cubeAndLight(place + more + "\n" + definitions)).lights[0];
}

}  // namespace

TEST_CASE("gels: a lamp of T comes out at 1e6/(1e6/T + shift), as bright as stated", "[gel][law]") {
    // Mired: 1e6 / T; a gel adds its shift. Within 1 mired under the lamp it is made for.
    int coloured = 0;
    for (const auto& [name, gel] : shipped().gels) {
        if (gel.miredShift == 0.0) continue;
        ++coloured;
        INFO(name);
        const double lamp_K = name.starts_with("ctb") ? 3200.0 : 5500.0;
        CHECK(std::abs(1e6 / temperatureThrough(lamp_K, gel) - 1e6 / lamp_K - gel.miredShift) < 1.0);
        // Mired are kept for this: the same film shifts other lamps by nearly as much.
        const double other_K = name.starts_with("ctb") ? 2900.0 : 4400.0;
        const double shift = 1e6 / temperatureThrough(other_K, gel) - 1e6 / other_K;
        CHECK(shift == Approx(gel.miredShift).epsilon(0.1).margin(3.0));
    }
    CHECK(coloured >= 14);
}

TEST_CASE("gels: conversion filters turn 3200 K into 5500 K and back with -131 and +131 mired",
          "[gel][law]") {
    // The photographic conversion filters' table, +-0.5 mired: 3200 to 5500 K -131, back +131.
    Gel blue, orange;
    blue.transmittance = transmittanceForShift(3200.0, -131.0, 0.35);
    orange.transmittance = transmittanceForShift(5500.0, 131.0, 0.6);
    CHECK(temperatureThrough(3200.0, blue) == Approx(5500.0).epsilon(5e-3));
    CHECK(temperatureThrough(5500.0, orange) == Approx(3200.0).epsilon(5e-3));
    CHECK(luminousTransmittance(lampSpectrum(3200.0), blue) == Approx(0.35).epsilon(1e-6));
    CHECK(luminousTransmittance(lampSpectrum(5500.0), orange) == Approx(0.6).epsilon(1e-6));
    for (const Gel& gel : {blue, orange})
        for (const double t : gel.transmittance.value) CHECK((t > 0.0 && t <= 1.0));
}

TEST_CASE("gels: no film is brighter than its colour lets it be", "[gel]") {
    CHECK_THROWS_AS(transmittanceForShift(3200.0, -131.0, 0.95), std::invalid_argument);
    CHECK_THROWS_AS(transmittanceForShift(5500.0, 1000.0, 0.1), std::invalid_argument);
    CHECK_THROWS_AS(greenFilm(0.3, lampSpectrum(5500.0), 0.95), std::invalid_argument);
}

TEST_CASE("gels: neutral density 0.3 is a stop, and so on", "[gel][law]") {
    // 10^-0.3 is 0.997 stop; the trade counts 0.3 as one.
    const std::pair<const char*, double> rows[] = {
        {"nd-03", 0.3}, {"nd-06", 0.6}, {"nd-09", 0.9}, {"nd-12", 1.2}};
    for (const auto& [name, density] : rows) {
        const double passed = luminousTransmittance(lampSpectrum(3200.0), shipped().gels.at(name));
        CHECK(-std::log2(passed) == Approx(density / 0.3).epsilon(1e-12));
        CHECK(-std::log10(passed) == Approx(density).epsilon(4e-3));
    }
}

TEST_CASE("gels: plus green leaves the Planckian locus upwards, minus green downwards", "[gel]") {
    double last = 0.0;
    for (const char* strength : {"quarter", "half", "full"}) {
        const std::string name = strength;
        const FineSpectrum day = lampSpectrum(5500.0);
        const double up = colourOf(through(day, shipped().gels.at("plus-green-" + name))).duv;
        const double down = colourOf(through(day, shipped().gels.at("minus-green-" + name))).duv;
        const double before = colourOf(day).duv;
        CHECK(up - before > last + 0.002);
        CHECK(before - down > last + 0.002);
        last = std::min(up - before, before - down);
    }
}

TEST_CASE("gels: plus and minus green of one strength are a neutral density together",
          "[gel][law]") {
    // 0.3 in blue and red and 0.3 in green: 0.3 everywhere (colour-compensating filters).
    const FineSpectrum day = lampSpectrum(5500.0);
    const FineSpectrum both = through(through(day, shipped().gels.at("plus-green-full")),
                                      shipped().gels.at("minus-green-full"));
    CHECK(colourOf(both).temperature_K == Approx(colourOf(day).temperature_K).epsilon(1e-6));
}

TEST_CASE("a light's gel takes flux and turns its colour; ratings and energy are without it",
          "[read][gel]") {
    const Light bare = gelledLight("colour_temperature = 5500");
    const Light warm = gelledLight("colour_temperature = 5500\ngel = \"cto-half\"");
    CHECK(bare.gels.empty());
    CHECK(warm.gels == std::vector<std::string>{"cto-half"});
    CHECK(warm.fullFlux == Approx(bare.fullFlux * 0.70).epsilon(1e-6));
    CHECK(1e6 / warm.colourTemperature_K == Approx(1e6 / 5500.0 + 109.0).margin(1.0));
    CHECK(warm.bands.total().y == Approx(1.0));
    CHECK(warm.bands.total().z < 0.7 * bare.bands.total().z);
    CHECK(gelledLight("gel = \"none\"").fullFlux == bare.fullFlux);
}

TEST_CASE("stacked gels multiply, in any order", "[read][gel]") {
    const Light one = gelledLight("gel = [\"cto-quarter\", \"nd-06\", \"minus-green-half\"]");
    const Light other = gelledLight("gel = [\"minus-green-half\", \"cto-quarter\", \"nd-06\"]");
    CHECK(one.fullFlux == Approx(other.fullFlux).epsilon(1e-12));
    CHECK(one.colourTemperature_K == Approx(other.colourTemperature_K).epsilon(1e-9));
    CHECK(gelledLight("gel = [\"nd-03\", \"nd-03\"]").fullFlux == Approx(250.0));
}

TEST_CASE("a gel of the file: by shift, by density, by stops, by curve", "[read][gel]") {
    const auto with = [](const std::string& definition) {
        return gelledLight("colour_temperature = 5500\ngel = \"mine\"", "[gel.mine]\n" + definition);
    };
    CHECK(1e6 / with("mired_shift = -50\ntransmittance = 0.6").colourTemperature_K ==
          Approx(1e6 / 5500.0 - 50.0).margin(1.0));
    CHECK(with("green = 10\ntransmittance = 0.8").fullFlux == Approx(800.0).epsilon(1e-6));
    CHECK(with("stops = 1.5").fullFlux == Approx(1000.0 * std::exp2(-1.5)));
    CHECK(with("transmittance = 0.4").fullFlux == Approx(400.0));
    const auto file = std::filesystem::temp_directory_path() / "keyfall_gel.csv";
    std::ofstream(file) << "380,0.25\n780,0.25\n";
    CHECK(with("transmittance = \"" + file.string() + "\"").fullFlux == Approx(250.0));
    std::filesystem::remove(file);
}
