// A shadow's profile along a line of meters on the floor. Not here: what it should be
// (shadow_edge_law_test.cpp).
#pragma once

#include <vector>

#include "scene_law.h"

namespace keyfall::test {

/// `steps` + 1 places from `from` to `to`.
inline std::vector<double> evenly(double from, double to, int steps) {
    std::vector<double> x;
    for (int i = 0; i <= steps; ++i) x.push_back(from + (to - from) * i / steps);
    return x;
}

/// Share of the key's light that passes the flag "cutter" at (x, 0, 0) cm, facing up: with it over
/// without it, by the same paths, so that what the flag does not stop is 1 nearly without noise.
inline std::vector<double> litShares(const std::string& scene, const std::vector<double>& x_cm,
                                     std::vector<std::string> set, const std::string& samples) {
    const auto folder = freshFolder("law-" + scene);
    std::string text = textOf(KEYFALL_TESTS + ("/scenes/" + scene + ".toml"));
    for (std::size_t i = 0; i < x_cm.size(); ++i)
        text += "[[probe]]\nname = \"p" + std::to_string(i) + "\"\nat = " + vector3(x_cm[i], 0, 0) +
                "\nnormal = [0, 1, 0]\nreceptor = 0\n";
    write(folder / "line.toml", text);
    const auto cut = meterFile(folder / "line.toml", folder, set, "--samples " + samples);
    set.push_back("flag.cutter.on=false");
    const auto open = meterFile(folder / "line.toml", folder, set, "--samples " + samples);
    std::vector<double> share;
    for (std::size_t i = 0; i < x_cm.size(); ++i) {
        const auto& e = cut.at("probes").at(i).at("illuminance_lx");  // full shadow: null
        share.push_back((e.is_null() ? 0.0 : e.get<double>()) /
                        open.at("probes").at(i).at("illuminance_lx").get<double>());
    }
    return share;
}

/// Where the profile first reaches `level`, between two places in a straight line; NAN: nowhere.
inline double placeOf(double level, const std::vector<double>& x,
                      const std::vector<double>& share) {
    for (std::size_t i = 1; i < x.size(); ++i)
        if (share[i - 1] < level && share[i] >= level)
            return x[i - 1] +
                   (x[i] - x[i - 1]) * (level - share[i - 1]) / (share[i] - share[i - 1]);
    return NAN;
}

struct Line {
    double slope = 0.0;
    double zero = 0.0;  ///< the x at which it is 0
    double at(double x) const { return slope * (x - zero); }
};

/// By least squares through the points whose share has low < share < high and x lies in from..to,
/// of `of(share)`. Fewer than three such points are a failure.
template <class Of>
Line lineThrough(const std::vector<double>& x, const std::vector<double>& share, double from,
                 double to, double low, double high, Of of) {
    double n = 0.0, sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (x[i] < from || x[i] > to || share[i] <= low || share[i] >= high) continue;
        const double y = of(share[i]);
        n += 1.0, sx += x[i], sy += y, sxx += x[i] * x[i], sxy += x[i] * y;
    }
    REQUIRE(n >= 3.0);
    Line line;
    line.slope = (sxy - sx * sy / n) / (sxx - sx * sx / n);
    line.zero = sx / n - sy / n / line.slope;
    return line;
}

}  // namespace keyfall::test
