// Light that fills a room: flux balance and ambient light. Not here: cards and sheets.
#include "scene_law.h"

using namespace keyfall::test;

namespace {

// Gauss-Legendre on [0, 1], five points (Abramowitz & Stegun, table 25.4): the probes' places.
constexpr double kNode[] = {0.04691008, 0.23076534, 0.5, 0.76923466, 0.95308992};
constexpr double kWeight[] = {0.11846344, 0.23931434, 0.28444444, 0.23931434, 0.11846344};

/// Mean over the cube's faces of total less direct light. Direct: I h/d^3 from the centre, at the
/// probes' own 1.998 m. Twin probes (i, j) and (j, i) are one, by symmetry.
double meanIndirect_lx(const nlohmann::json& report) {
    const double h = 1.998;
    double mean_lx = 0.0;
    for (std::size_t i = 0; i < 5; ++i)
        for (std::size_t j = i; j < 5; ++j) {
            const auto& probe = probeOf(report, "g" + std::to_string(i) + std::to_string(j));
            const double r2 = 4.0 * (kNode[i] * kNode[i] + kNode[j] * kNode[j]);
            const double direct_lx = 10000.0 / (4.0 * kPi) * h / std::pow(h * h + r2, 1.5);
            const double twins = i == j ? 1.0 : 2.0;
            mean_lx += twins * kWeight[i] * kWeight[j] *
                       (probe.at("illuminance_lx").get<double>() - direct_lx);
        }
    return mean_lx;
}

/// Flux balance, exact for any closed matt room. Fifteen probes, each within 0.02 stop (preview) or
/// 0.05 (draft): the mean is good to 0.2 or 0.4 % (one sigma).
void checkRoom(double rho, double printed_lx, double tolerance, const std::string& quality) {
    const double exact_lx = 10000.0 * rho / (96.0 * (1.0 - rho));
    CHECK(exact_lx == Approx(printed_lx).epsilon(0.003));
    const std::string r = number(rho);
    const auto report = meterScene(
        "cie171_5_8", {"room.walls=" + r, "room.ceiling=" + r, "room.floor=" + r}, 1, quality);
    const double mean_lx = meanIndirect_lx(report);
    INFO("rho " << rho << ": " << mean_lx << " lx, exact " << exact_lx);
    CHECK(mean_lx == Approx(exact_lx).epsilon(tolerance));
}

}  // namespace

// CIE 171 Table 20 (4 m cube, 10 000 lm): the printed figures are the exact ones to their last
// digit. The lamp's black body, 1 cm, takes less than 1e-4 of the light.
TEST_CASE("room: mean indirect light is flux rho/(S(1 - rho)); CIE 171:2006 case 5.8", "[law]") {
    checkRoom(0.2, 26.0, 0.01, "preview");
    checkRoom(0.5, 104.0, 0.01, "preview");
}

TEST_CASE("bright room: the same balance, where a limit on path length shows first",
          "[law][long]") {
    checkRoom(0.9, 937.0, 0.01, "preview");
    checkRoom(0.95, 1979.0, 0.02, "draft");
}

TEST_CASE("black room: the lamp's own light alone", "[law]") {
    const auto report =
        meterScene("cie171_5_8", {"room.walls=0.0", "room.ceiling=0.0", "room.floor=0.0"});
    CHECK(std::abs(meanIndirect_lx(report)) < 1e-3 * 10000.0 / 96.0);
}

TEST_CASE("ambient: an open flat meter reads the room's illuminance", "[law]") {
    checkReading(probeOf(meterScene("ambient"), "open"), "illuminance_lx", 500.0);
}

TEST_CASE("ambient beside a long black wall: (1 + cos beta)/2 of the open reading", "[law]") {
    // The wall's half lune of elevation beta covers (1 - cos beta)/2 of the projected disc
    // (Nusselt: the lune's edge projects to an ellipse of half axis cos beta). Two walls: cos beta.
    const double beta = GENERATE(30.0, 45.0, 60.0) * kPi / 180.0;
    const double top_cm = 10.0 * std::tan(beta);
    const std::string size = "[1000, " + number(top_cm) + ", 2]";
    const auto one = meterScene("long_wall", {"block.wall.size=" + size});
    checkReading(probeOf(one, "street"), "illuminance_lx", 500.0 * (1.0 + std::cos(beta)) / 2.0);
    const auto two = meterScene("long_wall", {"block.wall.size=" + size,
                                              "block.second.size=" + size, "block.second.on=true"});
    checkReading(probeOf(two, "street"), "illuminance_lx", 500.0 * std::cos(beta), 0.006);
}
