// Ratings, powers, distances and what the meter makes of light: photographic arithmetic through the
// whole program. Not here: the shapes' closed forms (direct_law_test.cpp).
#include "scene_law.h"

using namespace keyfall::test;

namespace {

struct Shape {
    std::string shape;
    std::string size;
    std::vector<std::string> set() const {
        return {"lamp.bare.shape=\"" + shape + "\"", "lamp.bare.size=" + size};
    }
};
double exposure_lxs(const nlohmann::json& report) {
    return probeOf(report, "label").at("exposure_lx_s").get<double>();
}
double aperture(const nlohmann::json& report, const std::string& probe = "label") {
    return probeOf(report, probe).at("aperture_for_correct_exposure").get<double>();
}

}  // namespace

TEST_CASE("guide number: the meter shows GN/d, for every shape of lamp", "[law]") {
    // N^2 = H S/C with C = 250 (ISO 2720, flat receptor) and H = Q_I/d^2 give GN = sqrt(Q_I S/C)
    // (IES: integrated flash intensity). GN 40: 4000 cd s; at 2 m 1000 lx s and f/20. From there a
    // small lamp is a point to 0.2 %.
    const Shape lamp =
        GENERATE(Shape{"sphere", "[3]"}, Shape{"tube", "[4, 0.8]"}, Shape{"ring", "[5, 0.8]"},
                 Shape{"disc", "[3]"}, Shape{"panel", "[4, 3]"});
    INFO(lamp.shape);
    const auto report = meterScene("rated", lamp.set());
    checkReading(probeOf(report, "label"), "exposure_lx_s", 1000.0, 0.005, 0.002);
    CHECK(aperture(report) == Approx(20.0).epsilon(0.0025));
    CHECK(probeOf(report, "label").at("reading") == "f/16 6/10");  // 16 * 2^(6.4/20)
}

TEST_CASE("a lamp rated by its lux at 1 m meters back there, for every shape and size", "[law]") {
    const Shape lamp =
        GENERATE(Shape{"sphere", "[9]"}, Shape{"tube", "[57, 3.8]"}, Shape{"ring", "[18, 2]"},
                 Shape{"disc", "[40]"}, Shape{"panel", "[60, 60]"});
    INFO(lamp.shape);
    checkReading(probeOf(meterScene("rated_lux", lamp.set()), "label"), "illuminance_lx", 9000.0,
                 0.005, 5e-4);
}

TEST_CASE("a lamp rated by a meter's reading meters back", "[law]") {
    // f/16 3/10 at 100 cm, ISO 100: H = 250 * 16^2 * 2^0.3 / 100 lx s; at 2 m a quarter.
    const auto report = meterScene("rated_reads");
    checkReading(probeOf(report, "label"), "exposure_lx_s",
                 250.0 * 256.0 * std::exp2(0.3) / 100.0 / 4.0, 0.005, 1e-3);
}

TEST_CASE("flash energy: 400 W s at 30 lm s per W s is 955 cd s, GN 19.5", "[law]") {
    // 12 000 lm s into 4 pi sr; GN = sqrt(Q_I S/C).
    const auto report = meterScene("flash_energy");
    checkReading(probeOf(report, "label"), "exposure_lx_s", 12000.0 / (4.0 * kPi));
    CHECK(aperture(report) == Approx(19.5).margin(0.05));
}

TEST_CASE("two lamps of f/11 read f/16", "[law]") {
    // Common practice, no source; linearity of light.
    const auto one = meterScene("flash_pair");
    const auto two = meterScene("flash_pair", {"light.second.on=true"});
    CHECK(probeOf(one, "label").at("reading") == "f/11");
    CHECK(probeOf(two, "label").at("reading") == "f/16");
    CHECK(aperture(one) == Approx(8.0 * std::numbers::sqrt2).epsilon(0.001));
    CHECK(aperture(two) == Approx(16.0).epsilon(0.001));
}

TEST_CASE("power: a quarter is 2.000 stops, within the two intervals", "[law]") {
    // In a set with bounce, with other seeds: no noise is shared.
    const auto full = meterScene("bounce_set");
    const auto quarter = meterScene("bounce_set", {"light.lamp.power=\"1/4\""}, 7);
    for (const std::string name : {"shadow-side", "top"}) {
        const auto& a = probeOf(full, name);
        const auto& b = probeOf(quarter, name);
        const double high = a.at("illuminance_lx");
        const double low = b.at("illuminance_lx");
        const double sigma_stops =
            std::hypot(sigmaOf(a, "illuminance_lx") / high, sigmaOf(b, "illuminance_lx") / low) /
            std::numbers::ln2;
        INFO(name << " " << std::log2(high / low) << " +- " << sigma_stops);
        CHECK(sigma_stops < 0.02);
        CHECK(std::abs(std::log2(high / low) - 2.0) <= 4.0 * sigma_stops);
    }
}

TEST_CASE("distance: a bare bulb from 1 m to 2 m loses 2.000 stops", "[law]") {
    // Inverse square, exact for a sphere.
    const auto near = meterScene("rated", {"light.lamp.at=[0, 0, 100]"});
    const auto far = meterScene("rated", {"light.lamp.at=[0, 0, 200]"});
    CHECK(std::log2(exposure_lxs(near) / exposure_lxs(far)) == Approx(2.0).margin(0.001));
}

TEST_CASE("sunny 16: 64 000 lx is f/16 at 1/S s", "[law]") {
    // E = C N^2/(t S) with C = 250 (ISO 2720).
    const auto report = meterScene("sunny");
    checkReading(probeOf(report, "label"), "illuminance_lx", 64000.0);
    CHECK(aperture(report) == Approx(16.0).epsilon(0.001));
    CHECK(probeOf(report, "label").at("reading") == "f/16");
    CHECK(probeOf(report, "label").at("stops_over").get<double>() == Approx(0.0).margin(0.003));
}

TEST_CASE("dome: half the light from the side, C = 330", "[law]") {
    // Cardioid response (1 + cos)/2 of a hemispherical receptor; C of 320-340 usual (ISO 2720).
    const double angle = GENERATE(0.0, 60.0, 90.0, 120.0) * kPi / 180.0;
    const auto report =
        meterScene("dome", {"probe.label.normal=" + vector3(std::sin(angle), 0, std::cos(angle))});
    checkReading(probeOf(report, "label"), "illuminance_lx", 500.0 * (1.0 + std::cos(angle)));
    CHECK(
        aperture(report) ==
        Approx(std::sqrt(500.0 * (1.0 + std::cos(angle)) / 128.0 * 100.0 / 330.0)).epsilon(0.003));
    checkReading(probeOf(report, "flat"), "illuminance_lx", 1000.0);
}

TEST_CASE("a meter's disc averages: form factors of coaxial discs", "[law]") {
    // Howell C-41: F12 = (X - sqrt(X^2 - 4 (r2/r1)^2))/2, X = 1 + (h^2 + r2^2)/r1^2. Worked
    // examples in print: r .1 to .2 at .5 .1339; equal discs r = h .3820. E = pi L F12.
    const auto [r1, r2, F] =
        GENERATE(table<double, double, double>({{.1, .2, .1339}, {.5, .5, .3820}}));
    const double x = 1.0 + (0.25 + r2 * r2) / (r1 * r1);
    const double exact = (x - std::sqrt(x * x - 4.0 * r2 * r2 / (r1 * r1))) / 2.0;
    CHECK(exact == Approx(F).margin(5e-5));
    checkMean(
        "receptor_disc",
        {"probe.mean.receptor=" + number(200.0 * r1), "lamp.bare.size=[" + number(200.0 * r2) + "]",
         "light.lamp.lumens=" + number(1000.0 * kPi * kPi * r2 * r2)},
        "mean", 1000.0 * kPi * exact, 10, 0.003);
}
