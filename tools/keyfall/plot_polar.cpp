#include "plot_polar.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "plot_canvas.h"

namespace keyfall {
namespace {

constexpr int kPolarWidth = 800;
constexpr int kPolarHeight = 860;
const glm::dvec2 kMiddle(400.0, 440.0);
constexpr double kRadius = 310.0;
constexpr Pen kRing{0.82, 1.0, 0.0};
constexpr Pen kAxisPen{0.65, 1.0, 0.0};
constexpr Pen kFirst{0.1, 2.4, 0.0};
constexpr Pen kSecond{0.1, 1.6, 3.0};
constexpr Pen kBare{0.5, 1.6, 8.0};

/// 1, 2, 2.5 or 5 times a power of ten, such that 4 to 6 steps hold `most`.
double niceStep(double most) {
    const double rough = most / 5.0;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    for (const double f : {1.0, 2.0, 2.5, 5.0})
        if (most / (f * power) <= 6.0) return f * power;
    return 10.0 * power;
}

double largest(const LampWeb& web) {
    double most = 0.0;
    for (const Reading& r : web.intensity_perSr) most = std::max(most, r.mean());
    return most;
}

/// Down is the aim; `side` +1 to the right.
glm::dvec2 placeOf(double theta, double side, double radius) {
    return kMiddle + radius * glm::dvec2(side * std::sin(theta), std::cos(theta));
}

/// The curve of plane `p` to the right and the opposite plane to the left.
std::vector<glm::dvec2> curveOf(const LampWeb& web, std::size_t p, double pixelsPerUnit) {
    std::vector<glm::dvec2> points;
    const std::size_t planes = web.phi_rad.size();
    const std::size_t opposite = planes == 1 ? p : (p + planes / 2) % planes;
    for (std::size_t t = web.theta_rad.size(); t-- > 0;)
        points.push_back(placeOf(web.theta_rad[t], -1.0, pixelsPerUnit * web.at(opposite, t).mean()));
    for (std::size_t t = 0; t < web.theta_rad.size(); ++t)
        points.push_back(placeOf(web.theta_rad[t], 1.0, pixelsPerUnit * web.at(p, t).mean()));
    return points;
}

void drawGrid(Canvas& canvas, int rings) {
    for (int i = 1; i <= rings; ++i) canvas.circle(kMiddle, kRadius * i / rings, i == rings ? kAxisPen : kRing);
    for (int degrees = 0; degrees < 360; degrees += 30) {
        const double theta = degrees * std::numbers::pi / 180.0;
        canvas.line({placeOf(theta, 1.0, kRadius / rings), placeOf(theta, 1.0, kRadius)}, degrees % 90 == 0 ? kAxisPen : kRing);
    }
    for (int degrees = 0; degrees <= 180; degrees += 30) {
        const double theta = degrees * std::numbers::pi / 180.0;
        for (const double side : {1.0, -1.0}) {
            if (side < 0.0 && degrees % 180 == 0) continue;
            canvas.text(placeOf(theta, side, kRadius + 22.0), fmt::format("{}°", degrees), 15.0, Anchor::middle, 0.25);
        }
    }
}

/// Along a direction between two spokes, where curves seldom run.
void labelRings(Canvas& canvas, int rings, double step) {
    const double theta = 105.0 * std::numbers::pi / 180.0;
    for (int i = 1; i <= rings; ++i)
        canvas.label(placeOf(theta, 1.0, kRadius * i / rings), fmt::format("{:g}", step * i), 13.0, Anchor::middle, 0.3);
}

/// Whether the planes of x and y differ so much that both are worth a line.
bool planesDiffer(const LampWeb& web) {
    if (web.phi_rad.size() == 1) return false;
    const double most = largest(web);
    for (std::size_t t = 0; t < web.theta_rad.size(); ++t)
        if (std::abs(web.at(0, t).mean() - web.at(web.phi_rad.size() / 4, t).mean()) > 0.02 * most) return true;
    return false;
}

struct LegendRow {
    Pen pen;
    std::string text;
};

void drawLegend(Canvas& canvas, const std::vector<LegendRow>& rows) {
    // Beside each other under the plot, as wide as the words are.
    double y = kPolarHeight - 22.0 - 24.0 * static_cast<double>(rows.size() - 1);
    for (const LegendRow& row : rows) {
        canvas.line({{40.0, y}, {84.0, y}}, row.pen);
        canvas.text({96.0, y}, row.text, 15.0);
        y += 24.0;
    }
}

}  // namespace

void plotPolar(const PolarPlot& plot, const std::filesystem::path& file) {
    const double most = plot.flux * std::max(largest(*plot.web), plot.bare != nullptr ? largest(*plot.bare) : 0.0);
    const double step = most > 0.0 ? niceStep(most) : 1.0;
    const int rings = std::max(1, static_cast<int>(std::ceil(most / step - 1e-9)));
    const double pixelsPerUnit = plot.flux * kRadius / (step * rings);

    Canvas canvas(file, kPolarWidth, kPolarHeight);
    canvas.text({40.0, 30.0}, plot.title, 20.0);
    canvas.text({40.0, 56.0}, plot.subtitle, 15.0, Anchor::start, 0.3);
    drawGrid(canvas, rings);
    std::vector<LegendRow> legend;
    const bool two = planesDiffer(*plot.web);
    if (plot.bare != nullptr) canvas.line(curveOf(*plot.bare, 0, pixelsPerUnit), kBare);
    if (two) canvas.line(curveOf(*plot.web, plot.web->phi_rad.size() / 4, pixelsPerUnit), kSecond);
    canvas.line(curveOf(*plot.web, 0, pixelsPerUnit), kFirst);
    labelRings(canvas, rings, step);
    canvas.text({kPolarWidth - 40.0, 78.0}, "rings: " + plot.unit, 15.0, Anchor::end, 0.3);
    legend.push_back({kFirst, plot.webName + (two ? ", across its width" : "")});
    if (two) legend.push_back({kSecond, plot.webName + ", across its height"});
    if (plot.bare != nullptr) legend.push_back({kBare, "the bare lamp"});
    drawLegend(canvas, legend);
    canvas.text({kPolarWidth - 40.0, kPolarHeight - 22.0}, "0° is where the light is aimed", 15.0, Anchor::end,
                0.3);
    canvas.write();
}

}  // namespace keyfall
