// Shadow edges under boxes and an open bowl, at the places and of the widths that geometry
// predicts: a source of width D, a_m over an edge, throws a penumbra of P = D b/a, b_m under it
// (similar triangles).
#include "shadow_line.h"

using namespace keyfall::test;

namespace {

/// 10-90 % width, cm, under an even Lambertian square `side` cm wide, 100 cm over an edge through
/// its axis and 20 cm over it the floor: the visible part of int cos^2/d^2 dA by the midpoint rule.
double evenWidth_cm(double side) {
    const auto lit = [&](double x) {
        constexpr int n = 400, m = 40;
        double all = 0.0, seen = 0.0;
        for (int i = 0; i < n; ++i) {
            const double xs = side * ((i + 0.5) / n - 0.5);
            double column = 0.0;
            for (int j = 0; j < m; ++j) {
                const double z = side * ((j + 0.5) / m - 0.5);
                column += 1.0 / std::pow((xs - x) * (xs - x) + z * z + 120.0 * 120.0, 2);
            }
            all += column;
            if (x + (xs - x) * 20.0 / 120.0 > 0.0)
                seen += column;  // on the ray 20 cm up, beside the flag
        }
        return seen / all;
    };
    const std::vector<double> x = evenly(-0.1 * side, 0.1 * side, 100);
    std::vector<double> share;
    for (const double at : x) share.push_back(lit(at));
    return placeOf(0.9, x, share) - placeOf(0.1, x, share);
}

struct Edge {
    double from = 0.0, to = 0.0;  ///< the whole penumbra, cm
    double atEdge = 0.0;          ///< luminance of the front at its edge over its mean
    double width_10_90 = 0.0;     ///< cm
};

/// The shadow edge of a box of `side` cm. The penumbra's ends are where straight lines through the
/// last tenth of the profile meet 0 and 1: they do not depend on how even the front is inside of
/// them. Their slope is what does: the front's edge over its mean, times 1/P.
Edge edgeOf(const std::string& modifier, double side) {
    const std::vector<double> x = evenly(-0.11 * side, 0.11 * side, 44);
    const auto share = litShares("shadow_box", x, {"light.key.modifier=" + modifier}, "8192");
    const double out = side;
    const Line dark = lineThrough(x, share, -out, out, 0.005, 0.1, [](double v) { return v; });
    const Line lit = lineThrough(x, share, -out, out, 0.9, 0.995, [](double v) { return 1.0 - v; });
    return {dark.zero, lit.zero, 0.5 * (dark.slope - lit.slope) * 0.2 * side,
            placeOf(0.9, x, share) - placeOf(0.1, x, share)};
}

/// 10-90 % width over that of an even front, for a luminance of 1 - k u^2 over u = -1 to 1 across
/// the edge, `atEdge` being (1 - k)/(1 - k/3): the profile is half of 1 + (u - k u^3/3)/(1 - k/3),
/// and .8 P for k = 0.
double narrowing(double atEdge) {
    const double k = (1.0 - atEdge) / (1.0 - atEdge / 3.0);
    double u = 0.8;
    for (int i = 0; i < 50; ++i) u = 0.8 * (1.0 - k / 3.0) + k * u * u * u / 3.0;
    return u / 0.8;
}

}  // namespace

TEST_CASE("a soft box's shadow edge is as wide as the box, with one skin or two",
          "[law][modifier][long]") {
    // P = w b/a: 12 cm for 60 cm, 6 cm for 30 cm. 10-90 % is .8 P for an even front, less what
    // cos^4 takes (the integral above), and less where the front is brighter in the middle: by so
    // much as its edge's luminance says. That a second skin of the same size leaves the edge alone
    // is a photographic demonstration; here it may move it by what it does to the front's evenness,
    // and by no more than 3 %.
    struct Row {
        const char* modifier;
        double side;
    };
    std::vector<double> relative;
    for (const Row& row : {Row{"small", 30.0}, Row{"big", 60.0}, Row{"skinned", 60.0}}) {
        const Edge e = edgeOf(row.modifier, row.side);
        const double P = 0.2 * row.side;
        relative.push_back(e.width_10_90 / evenWidth_cm(row.side));
        INFO(row.modifier << ": from " << e.from << " to " << e.to << " cm, 10-90 % "
                          << e.width_10_90 << ", " << relative.back()
                          << " of an even front's; edge over mean " << e.atEdge << ", which says "
                          << narrowing(e.atEdge));
        CHECK(std::abs(e.from + 0.5 * P) < 0.015 * P);
        CHECK(std::abs(e.to - 0.5 * P) < 0.015 * P);
        CHECK(e.atEdge < 0.95);  // the bulb is farther from the rim and lights it aslant
        CHECK(e.atEdge > 0.6);
        CHECK(relative.back() == Approx(narrowing(e.atEdge)).epsilon(0.025));
    }
    CHECK(relative[0] == Approx(relative[1]).epsilon(0.02));  // the same box at half the scale
    CHECK(relative[2] == Approx(relative[1]).epsilon(0.03));
}

TEST_CASE("an open bowl throws two shadow edges: its bulb's and its mouth's",
          "[law][modifier][long]") {
    // The edge is 10 cm aside of the axis, b = 30 cm over the floor. The mouth (18 cm) is a = 100
    // cm over it, the bulb (2 cm) 110 cm. The line from a source's centre over the edge meets the
    // floor at 10 (1 + b/a): 13.000 and 12.727 cm. Penumbrae of D b/a: 5.4 cm and 0.545 cm.
    const double bulb = 10.0 * (1.0 + 30.0 / 110.0), bulbWidth = 2.0 * 30.0 / 110.0;
    const double mouth = 10.0 * (1.0 + 30.0 / 100.0), mouthWidth = 18.0 * 30.0 / 100.0;
    std::vector<double> x = evenly(10.0, 11.0, 10);
    for (const double at : evenly(12.1, 13.35, 25)) x.push_back(at);
    for (const double at : evenly(15.0, 16.0, 10)) x.push_back(at);
    const auto share = litShares("shadow_bowl", x, {}, "8192");

    // The bulb's step stands on the mouth's gentle rise: the share of the way from the line before
    // to the line after it.
    const auto same = [](double v) { return v; };
    const Line before = lineThrough(x, share, 12.09, 12.41, 0.0, 1.0, same);
    const Line after = lineThrough(x, share, 13.04, 13.36, 0.0, 1.0, same);
    std::vector<double> stepX, step;
    for (std::size_t i = 0; i < x.size(); ++i)
        if (x[i] > 12.4 && x[i] < 13.1)
            stepX.push_back(x[i]),
                step.push_back((share[i] - before.at(x[i])) / (after.at(x[i]) - before.at(x[i])));
    const double foundBulb = placeOf(0.5, stepX, step);
    // A disc behind an edge: 10-90 % is .687 of the whole (chord areas, closed form).
    const double foundBulbWidth = (placeOf(0.9, stepX, step) - placeOf(0.1, stepX, step)) / 0.687;
    INFO("bulb at " << foundBulb << ", expected " << bulb << "; " << foundBulbWidth
                    << " wide, expected " << bulbWidth);
    CHECK(std::abs(foundBulb - bulb) < 0.03);  // 1.5 cm of depth
    CHECK(foundBulbWidth == Approx(bulbWidth).epsilon(0.1));
    CHECK(after.at(bulb) - before.at(bulb) > 0.2);  // it is an edge one sees

    // The rest begins and ends like a disc's segment, whose area grows as the power 3/2 of its
    // height.
    const Line begins =
        lineThrough(x, share, 0.0, 11.0, 0.0005, 0.02, [](double v) { return std::cbrt(v * v); });
    const Line ends = lineThrough(x, share, 15.0, 99.0, 0.98, 0.9995,
                                  [](double v) { return std::cbrt((1.0 - v) * (1.0 - v)); });
    INFO("mouth from " << begins.zero << " to " << ends.zero << ", expected "
                       << mouth - 0.5 * mouthWidth << " to " << mouth + 0.5 * mouthWidth);
    CHECK(std::abs(begins.zero - (mouth - 0.5 * mouthWidth)) < 0.1);
    CHECK(std::abs(ends.zero - (mouth + 0.5 * mouthWidth)) < 0.1);
    CHECK(std::abs(0.5 * (begins.zero + ends.zero) - mouth) < 0.1);
}
