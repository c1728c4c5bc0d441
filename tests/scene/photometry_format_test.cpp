// What LM-63 and EULUMDAT files may say, and that a web survives being written. Not here: bad files
// (photometry_bad_test.cpp), figures of flux (photometry_flux_test.cpp).
#include <cmath>
#include <glm/gtc/constants.hpp>

#include "scene/photometry_file.h"
#include "tests/scene/photometry_texts.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

double at(const PhotometricWeb& web, double v_deg, double h_deg) {
    const double v = glm::radians(v_deg), h = glm::radians(h_deg);
    return intensity_cd(web, {std::sin(v) * std::cos(h), std::sin(v) * std::sin(h), std::cos(v)});
}

/// On the axis, of a lamp with 100 there.
double axis(const Lm63Form& form) {
    return at(parseLm63(lm63({{0, 90}, {0}, {100, 100}}, form)), 0, 0);
}

void checkSame(const PhotometricWeb& a, const PhotometricWeb& b) {
    const auto same = [](const std::vector<double>& x, const std::vector<double>& y, double tiny) {
        REQUIRE(x.size() == y.size());
        for (std::size_t i = 0; i < x.size(); ++i)
            CHECK(x[i] == Approx(y[i]).epsilon(1e-8).margin(tiny));
    };
    same(a.vertical_rad, b.vertical_rad, 1e-10);
    same(a.horizontal_rad, b.horizontal_rad, 1e-10);
    same(a.intensity_cd, b.intensity_cd, 1e-12);
    CHECK(a.isRound == b.isRound);
    CHECK(a.opening_m.x == Approx(b.opening_m.x));
    CHECK(a.opening_m.y == Approx(b.opening_m.y));
    CHECK(a.watts == Approx(b.watts));
}

/// Webs of every symmetry, each written with planes of its own.
std::vector<std::pair<std::string, PhotometricWeb>> webs() {
    const std::vector<double> v{0, 45, 90};
    return {
        {"axial", parseLm63(kMinimalLm63)},
        {"quadrant", parseLm63(lm63({v, {0, 45, 90}, {9, 8, 7, 9, 6, 5, 9, 4, 3}}))},
        {"halves", parseLm63(lm63({v, {0, 45, 90, 180}, {9, 8, 7, 9, 6, 5, 9, 4, 3, 9, 2, 1}}))},
        {"sides", parseLm63(lm63({v, {90, 150, 180, 270}, {9, 8, 7, 9, 6, 5, 9, 4, 3, 9, 2, 1}}))},
        {"none", parseLm63(lm63({{90, 135, 180},
                                 {0, 100, 200, 300, 360},
                                 {7, 6, 5, 4, 3, 2, 1, 0, 1, 2, 3, 4, 5, 6, 7}}))}};
}

}  // namespace

TEST_CASE("LM-63: planes of each symmetry stand where their mirror images are", "[photometry]") {
    const std::vector<double> v{0, 45, 90};
    const PhotometricWeb quadrant = parseLm63(lm63({v, {0, 30, 90}, {9, 1, 0, 9, 2, 0, 9, 3, 0}}));
    for (const double h : {30.0, 150.0, 210.0, 330.0}) CHECK(at(quadrant, 45, h) == Approx(2));
    CHECK(at(quadrant, 45, 180) == Approx(1));
    CHECK(at(quadrant, 45, 270) == Approx(3));
    const PhotometricWeb halves = parseLm63(lm63({v, {0, 30, 180}, {9, 1, 0, 9, 2, 0, 9, 3, 0}}));
    CHECK(at(halves, 45, 330) == Approx(2));
    CHECK(at(halves, 45, 150) == Approx(2.8));  // 30 to 180: 120/150 of the way from 2 to 3
    const PhotometricWeb sides =
        parseLm63(lm63({v, {90, 120, 180, 270}, {9, 1, 0, 9, 2, 0, 9, 3, 0, 9, 4, 0}}));
    CHECK(at(sides, 45, 60) == Approx(2));
    CHECK(at(sides, 45, 0) == Approx(3));
    CHECK(at(sides, 45, 270) == Approx(4));
    // A turn may end a step before 360, and closes on its first plane.
    const PhotometricWeb open =
        parseLm63(lm63({v, {0, 90, 180, 270}, {9, 1, 0, 9, 2, 0, 9, 3, 0, 9, 5, 0}}));
    CHECK(at(open, 45, 315) == Approx(3));
}

// LM-63: candela = value x multiplier x ballast factor x the 12th number up to 1995.
TEST_CASE("LM-63: the factors that a revision has are applied, no others", "[photometry]") {
    Lm63Form form;
    form.lamps = "2 1000 1.5";
    form.ballast = "0.8 0.9 60";
    for (const auto& [first, expected] :
         std::vector<std::pair<std::string, double>>{{"IES:LM-63-2019", 120},
                                                     {"IESNA:LM-63-2002", 120},
                                                     {"IESNA:LM-63-1995", 108},
                                                     {"IESNA91", 108},
                                                     {"", 108}}) {
        INFO("first line \"" << first << "\"");
        form.first = first;
        CHECK(axis(form) == Approx(expected));
    }
    CHECK(parseLm63(lm63({{0, 90}, {0}, {1, 1}}, form)).statedFlux_lm == Approx(2000));
    form.tilt = "TILT=INCLUDE\n1\n3\n0 45 90\n0.5 0.7 0.9";  // the upright lamp's factor
    CHECK(axis(form) == Approx(54));
}

TEST_CASE("LM-63: sizes of the opening in feet and metres, round where negative", "[photometry]") {
    const auto web = [](const std::string& units, const std::string& opening) {
        Lm63Form form;
        form.units = units;
        form.opening = opening;
        return parseLm63(lm63({{0, 90}, {0}, {1, 1}}, form));
    };
    CHECK(web("1 1", "2 1 0").opening_m.x == Approx(0.6096));  // a foot is 0.3048 m
    CHECK(web("1 2", "0.2 0.1 0").opening_m.y == Approx(0.1));
    CHECK_FALSE(web("1 2", "0.2 0.1 0").isRound);
    CHECK(web("1 2", "-0.2 -0.1 0").isRound);
    CHECK(web("1 2", "-0.2 0 0").opening_m.y == Approx(0.2));  // a circle of 1995
    CHECK_FALSE(web("1 2", "-0.2 0.9 -0.2").isRound);          // a lying cylinder
}

TEST_CASE("LM-63: commas, tabs, wrapped records and any ends of lines are read alike",
          "[photometry]") {
    const PhotometricWeb plain = parseLm63(kMinimalLm63);
    std::string text = kMinimalLm63;
    const auto replace = [&text](const std::string& from, const std::string& to) {
        text.replace(text.find(from), from.size(), to);
    };
    replace("40 50", "40\r\n  50");
    replace("1000.0 984.8", "1000.0,\r\n984.8");
    replace("-0.18 -0.18", "-0.18,\t-0.18");
    checkSame(parseLm63(text), plain);
    std::string carriage;
    for (const char c : text)
        if (c != '\n') carriage += c;
    checkSame(parseLm63(carriage + "\x1a"), plain);
    checkSame(parseLm63("\xEF\xBB\xBF" + kMinimalLm63), plain);
}

TEST_CASE("LM-63: a web written and read again is the same, in as few planes as it needs",
          "[photometry]") {
    const std::map<std::string, std::string> counts{{"axial", " 10 1 1 2 "},
                                                    {"quadrant", " 3 3 1 2 "},
                                                    {"halves", " 3 4 1 2 "},
                                                    {"sides", " 3 4 1 2 "},
                                                    {"none", " 3 5 1 2 "}};
    for (const auto& [name, web] : webs()) {
        INFO(name);
        const std::string text = lm63Text(web, "made here");
        CHECK(text.substr(0, 16) == "IES:LM-63-2019\r\n");
        CHECK(text.find(counts.at(name)) != std::string::npos);
        const PhotometricWeb again = parseLm63(text);
        checkSame(again, web);
        CHECK(fluxByInterpolation_lm(again) == Approx(fluxByInterpolation_lm(web)).epsilon(1e-8));
        CHECK(lm63Text(again, "made here") == text);
    }
    // A title cannot start a line of its own, and is plain ASCII.
    CHECK(lm63Text(parseLm63(kMinimalLm63), "10 lm·s, é\r\nTILT=NONE")
              .find("[TEST] 10 lm*s, ???TILT=NONE\r\n") != std::string::npos);
}

TEST_CASE("LM-63: text that is written keeps to 132 columns", "[photometry]") {
    for (const auto& [name, web] : webs()) {
        std::istringstream lines(lm63Text(web, std::string(500, 'x')));
        for (std::string line; std::getline(lines, line);)
            CHECK(line.size() <= 133);  // with its CR
    }
}

// Stockmar: planes C0 (1), C0-C180 (2), C270 over C0 to C90 (3), C0-C90 (4), all (0).
TEST_CASE("EULUMDAT: planes of each Isym stand where their mirror images are", "[photometry]") {
    LdtForm form;
    form.c = {0, 45, 90, 135, 180, 225, 270, 315};
    form.g = {0, 90};
    const auto web = [&form](int isym, std::vector<double> intensity) {
        form.isym = isym;
        form.intensity = std::move(intensity);
        return parseEulumdat(ldt(form));
    };
    const auto alongHorizon = [](const PhotometricWeb& w) {
        std::vector<double> list;
        for (int h = 0; h < 360; h += 45)
            list.push_back(std::round(1e6 * at(w, 89.9999999, h)) / 1e6);
        return list;
    };
    using List = std::vector<double>;
    CHECK(alongHorizon(web(1, {9, 1})) == List{1, 1, 1, 1, 1, 1, 1, 1});
    CHECK(alongHorizon(web(2, {9, 1, 9, 2, 9, 3, 9, 4, 9, 5})) == List{1, 2, 3, 4, 5, 4, 3, 2});
    CHECK(alongHorizon(web(3, {9, 1, 9, 2, 9, 3, 9, 4, 9, 5})) == List{3, 4, 5, 4, 3, 2, 1, 2});
    CHECK(alongHorizon(web(4, {9, 1, 9, 2, 9, 3})) == List{1, 2, 3, 2, 1, 2, 3, 2});
    CHECK(alongHorizon(web(0, {9, 1, 9, 2, 9, 3, 9, 4, 9, 5, 9, 6, 9, 7, 9, 8})) ==
          List{1, 2, 3, 4, 5, 6, 7, 8});
}

// Of a file in cd per 1000 lm the integral over the sphere is 1000 LOR = 10 LORL%: a Lambertian
// lobe of I0 cd/klm has pi I0, so LORL 80 % is I0 = 254.65.
TEST_CASE("EULUMDAT: the integral of cd/klm is ten times the light output ratio", "[photometry]") {
    LdtForm form;
    form.lorl = "80";
    form.flux = "2500";
    form.factor = "1.2";
    form.g.clear();
    for (int g = 0; g <= 90; ++g) {
        form.g.push_back(g);
        form.intensity.push_back(254.6479 *
                                 std::max(0.0, std::cos(glm::radians(static_cast<double>(g)))));
    }
    const PhotometricWeb web = parseEulumdat(ldt(form));
    // x flux / 1000 x factor; a degree of linear interpolation is 2.5e-5 short.
    CHECK(fluxByInterpolation_lm(web) / (2.5 * 1.2) == Approx(10.0 * 80.0).epsilon(5e-5));
    CHECK(web.statedFlux_lm == Approx(2500));
    CHECK(web.isRound);
    CHECK(web.opening_m.x == Approx(0.18));
    checkSame(parseLm63(lm63Text(web, "made here")), web);
}

TEST_CASE("EULUMDAT: decimal commas, several sets of lamps, a long opening, absolute photometry",
          "[photometry]") {
    LdtForm form;
    form.intensity = {100, 80, 0};
    form.length = "600,5";
    form.width = "300";
    form.sets = 3;  // the others say 777 lm
    form.lamps = "-1";
    const PhotometricWeb web = parseEulumdat(ldt(form));
    CHECK(at(web, 0, 0) == Approx(100));
    CHECK(web.opening_m.x == Approx(0.3));  // the width lies across, in C0
    CHECK(web.opening_m.y == Approx(0.6005));
    CHECK_FALSE(web.isRound);
    CHECK_FALSE(web.statedFlux_lm.has_value());
}
