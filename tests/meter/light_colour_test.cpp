// Colour and flash against ambient from made-up readings: no ray is traced. Not here: the same through
// the program (tests/laws/colour_law_test.cpp, camera_law_test.cpp).
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "renderer/meter/ambient.h"
#include "renderer/meter/jackknife.h"
#include "renderer/meter/light_colour.h"

using namespace keyfall;

namespace {

/// A reading of two lights, the second's share scattered over the replicates.
ProbeReading scattered(const Probe& probe, double spread) {
    const glm::dvec3 day = bandXYZ(lampSpectrum(5500)).total(), warm = bandXYZ(lampSpectrum(3200)).total();
    std::mt19937 random(5);
    std::uniform_real_distribution<double> unit(-1.0, 1.0);
    ProbeReading r;
    r.probe = &probe;
    r.name = "label";
    r.aperture = Measured{8.0, {8.0, 8.0}};
    for (std::size_t i = 0; i < kReplicates; ++i) {
        r.xyzByReplicate[i] = day + (0.5 + spread * unit(random)) * warm;
        r.xyz += r.xyzByReplicate[i] / static_cast<double>(kReplicates);
    }
    return r;
}

Light lightOf(LightKind kind) {
    Light l;
    l.kind = kind;
    l.fullFlux = 1000.0;
    return l;
}

Reading even(double value) {
    Reading r;
    r.value.fill(value);
    return r;
}

}  // namespace

TEST_CASE("a probe's colour and interval are those of the replicates' own temperatures", "[colour]") {
    const Probe probe;
    const ProbeReading r = scattered(probe, 0.05);
    const ProbeColour c = probeColour(r);
    // The jackknife with a search on the locus for each replicate left out, in place of a slope.
    const auto exact = [&](int leftOut, bool wantsMired) {
        glm::dvec3 sum(0.0);
        for (int i = 0; i < kReplicates; ++i)
            if (i != leftOut) sum += r.xyzByReplicate[static_cast<std::size_t>(i)];
        const Correlated k = correlatedTemperature(chromaticity(sum));
        return wantsMired ? 1e6 / k.temperature_K : k.duv;
    };
    const Measured mired = jackknife([&](int i) { return exact(i, true); });
    const Measured duv = jackknife([&](int i) { return exact(i, false); });
    REQUIRE(c.mired);
    CHECK(c.mired->value == Approx(mired.value).epsilon(1e-9));
    CHECK(c.mired->interval95.half() == Approx(mired.interval95.half()).epsilon(0.02));
    CHECK(c.duv->value == Approx(duv.value).margin(1e-9));
    CHECK(c.duv->interval95.half() == Approx(duv.interval95.half()).epsilon(0.05));
    CHECK(c.temperature_K->value == Approx(1e6 / mired.value).epsilon(1e-9));
    CHECK(c.temperature_K->interval95.low == Approx(1e6 / c.mired->interval95.high));
    ProbeReading missing = r;
    missing.missing = true;
    CHECK_FALSE(probeColour(missing).duv);
}

TEST_CASE("ambient is every layer but the flashes', room and glow too", "[colour]") {
    Scene scene;
    scene.lights = {lightOf(LightKind::continuous), lightOf(LightKind::flash), lightOf(LightKind::flash)};
    CHECK(anyFlashOn(scene));
    CHECK(anyContinuousOn(scene));
    const Probe probe;
    ProbeReading r;
    r.probe = &probe;
    for (const double exposure : {1.0, 40.0, 24.0, 2.0, 1.0})  // lamp, two flashes, room, glow
        r.byLight.push_back({"", {}, even(exposure), {}});
    r.exposure = even(68.0);
    CHECK(flashExposure(scene, r).mean() == 64.0);
    CHECK(ambientExposure(scene, r).mean() == 4.0);
    CHECK(ambientStops(scene, r)->value == Approx(-4.0));
    // Four seconds' worth of it against the whole: video of twice the shutter time.
    scene.camera.shutter_s = {0.01, 0.01};
    CHECK(continuousStops(scene, r, 0.02)->value == Approx(std::log2(8.0 / 68.0)));
    for (LightShare& s : r.byLight) s.exposure = even(0.0);
    CHECK_FALSE(ambientStops(scene, r));
}
