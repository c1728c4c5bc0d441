// What cards, mirrors, sheets, powers and ratings do, against closed forms and integrals.
#include "scene_law.h"

using namespace keyfall::test;

namespace {

double stopsBetweenScenes(const nlohmann::json& a, const nlohmann::json& b, const std::string& probe) {
    return std::log2(probeOf(a, probe).at("illuminance_lx").get<double>() /
                     probeOf(b, probe).at("illuminance_lx").get<double>());
}

}  // namespace

TEST_CASE("plane mirror: the image source adds, times the reflectance", "[law]") {
    // outside_checks 1.12. I = 1 cd, lamp 2 m and its image 4 m in front of the receiver's plane,
    // 1.2 m aside: E = I h/d^3 each.
    const double exact_lx = 2.0 / std::pow(1.44 + 4.0, 1.5) + 0.9 * 4.0 / std::pow(1.44 + 16.0, 1.5);
    checkReading(probeOf(meterScene("mirror"), "front"), "illuminance_lx", exact_lx, 0.01);
}

TEST_CASE("bounce card: one reflection is the integral of the key over the card", "[law]") {
    // E = int rho/pi * I cos_i/d1^2 * cos_o cos_r/d2^2 dA, midpoint rule; card at x = -25 cm facing
    // +x, 30 (z) x 40 (y) cm, lamp at (60, 20, 30) cm with I = 1000/(4 pi) cd, receiver at 0.
    const double I = 1000.0 / (4.0 * kPi);
    double exact_lx = 0.0;
    constexpr int kN = 200;
    for (int i = 0; i < kN; ++i)
        for (int j = 0; j < kN; ++j) {
            const double z = 0.30 * ((i + 0.5) / kN - 0.5);
            const double y = 0.40 * ((j + 0.5) / kN - 0.5);
            const double dx = 0.85, dy = 0.20 - y, dz = 0.30 - z;
            const double d1 = dx * dx + dy * dy + dz * dz;
            const double d2 = 0.0625 + y * y + z * z;
            exact_lx += 0.85 / kPi * I * dx / std::pow(d1, 1.5) * (0.25 * 0.25) / (d2 * d2) * (0.12 / (kN * kN));
        }
    const auto report = meterScene("card");
    const auto& probe = probeOf(report, "shade");
    checkReading(probe, "illuminance_lx", exact_lx);
    // All of it touched the card, and a card that carries all the light lifts from nothing.
    CHECK(probe.at("by_board").at(0).at("share").get<double>() == Approx(100.0).epsilon(1e-6));
    CHECK(probe.at("by_board").at(0).at("lifts_stops").is_null());
}

TEST_CASE("diffusion sheet: the straight part keeps the lamp, the rest is a Lambertian sheet", "[law]") {
    // E = straight * I/d^2 + int (T - straight)/pi * E_back * cos^2/d^2 dA over 60 x 60 cm, lamp and
    // receiver 40 cm from the sheet on its axis. The lamp's own black body takes back no light that
    // matters (3 cm at 40 cm: below 1e-3 of what the sheet sends back, and that goes the other way).
    const double I = 1000.0 / (4.0 * kPi);
    double scattered_lx = 0.0;
    constexpr int kN = 300;
    for (int i = 0; i < kN; ++i)
        for (int j = 0; j < kN; ++j) {
            const double x = 0.60 * ((i + 0.5) / kN - 0.5);
            const double y = 0.60 * ((j + 0.5) / kN - 0.5);
            const double d2 = x * x + y * y + 0.16;
            const double back_lx = I * 0.40 / std::pow(d2, 1.5);
            scattered_lx += (0.354 - 0.05) / kPi * back_lx * 0.16 / (d2 * d2) * (0.36 / (kN * kN));
        }
    checkReading(probeOf(meterScene("scrim"), "label"), "illuminance_lx", 0.05 * I / 0.64 + scattered_lx);
}

TEST_CASE("full diffusion, 40 + 40 cm behind 60 x 60: 1.27 stops on axis", "[law]") {
    // Common practice, no source, for the geometry; the figure by integration (job's table): all of
    // the 1.5 stops (T = .354) scattered.
    const auto through = meterScene("scrim", {"fabric.sheet.straight=0.0"});
    const auto open = meterScene("scrim", {"scrim.panel.on=false"});
    CHECK(stopsBetweenScenes(open, through, "label") == Approx(1.27).margin(0.05));
}

TEST_CASE("ambient: an open flat meter reads the room's illuminance", "[law]") {
    checkReading(probeOf(meterScene("ambient"), "open"), "illuminance_lx", 500.0);
}

TEST_CASE("guide number: H at 1 m is 2.5 GN^2 lx s, for every shape of lamp", "[law]") {
    // outside_checks 3.4: GN = sqrt(Q_I S / C), C = 250. GN 40 at 2 m: 1000 lx s, f/20. From 2 m a
    // small lamp is a point to 0.2 %: a tube's near side is 4 mm closer than its axis.
    const std::string shape = GENERATE("\"sphere\"|[3]", "\"tube\"|[4, 0.8]", "\"ring\"|[5, 0.8]", "\"disc\"|[3]", "\"panel\"|[4, 3]");
    const auto bar = shape.find('|');
    INFO(shape);
    const auto report = meterScene("rated", {"lamp.bare.shape=" + shape.substr(0, bar), "lamp.bare.size=" + shape.substr(bar + 1)});
    const auto& probe = probeOf(report, "label");
    checkReading(probe, "exposure_lx_s", 1000.0, 0.005, 0.002);
    CHECK(probe.at("aperture_for_correct_exposure").get<double>() == Approx(20.0).epsilon(0.0025));
    CHECK(probe.at("reading") == "f/16 6/10");
}

TEST_CASE("a lamp rated by a meter's reading meters back", "[law]") {
    // f/16 3/10 at 100 cm, ISO 100: H = 250 * 16^2 * 2^0.3 / 100 lx s; at 2 m a quarter.
    const auto report = meterScene("rated_reads");
    checkReading(probeOf(report, "label"), "exposure_lx_s", 250.0 * 256.0 * std::exp2(0.3) / 100.0 / 4.0, 0.005, 1e-3);
}

TEST_CASE("two equal lamps: one stop more than one", "[law]") {
    // Common practice, no source (f/11 and f/11 give f/16); linearity of light.
    const auto one = meterScene("two_lamps");
    const auto two = meterScene("two_lamps", {"light.second.on=true"});
    CHECK(stopsBetweenScenes(two, one, "label") == Approx(1.0).margin(0.002));
}

TEST_CASE("power: a quarter is two stops", "[law]") {
    const auto full = meterScene("two_lamps");
    const auto quarter = meterScene("two_lamps", {"light.lamp.power=\"1/4\""});
    CHECK(stopsBetweenScenes(full, quarter, "label") == Approx(2.0).margin(0.001));
}

TEST_CASE("distance: a bare bulb from 1 m to 2 m is two stops", "[law]") {
    // Inverse square, exact for a sphere.
    const auto near = meterScene("two_lamps", {"light.lamp.at=[0, 0, 100]"});
    const auto far = meterScene("two_lamps", {"light.lamp.at=[0, 0, 200]"});
    CHECK(stopsBetweenScenes(near, far, "label") == Approx(2.0).margin(0.001));
}

TEST_CASE("a card of reflectance 0 never raises a reading", "[law]") {
    const auto without = meterScene("two_lamps");
    const auto with = meterScene("two_lamps", {"board.black.on=true"});
    CHECK(stopsBetweenScenes(with, without, "label") <= 1e-6);
    CHECK(probeOf(with, "label").at("by_board").at(0).at("share").get<double>() == Approx(0.0).margin(1e-9));
}
