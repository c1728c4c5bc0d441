#include "plot_front.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "plot_canvas.h"

namespace keyfall {
namespace {

constexpr int kWidth = 800;
constexpr int kHeight = 760;
const glm::dvec2 kCorner(60.0, 90.0);
constexpr double kSide = 560.0;
constexpr Pen kFrame{0.4, 1.0, 0.0};

double brightest(const FrontGrid& front) {
    double most = 0.0;
    for (const Reading& r : front.luminance) most = std::max(most, r.mean());
    return most;
}

/// Stops from white to black: whole ones that hold 19 of 20 spots.
int stopsShown(const FrontGrid& front, double most) {
    std::vector<double> under;
    for (std::size_t i = 0; i < front.open.size(); ++i)
        if (front.open[i] != 0) under.push_back(-std::log2(std::max(1e-6, front.luminance[i].mean() / most)));
    std::sort(under.begin(), under.end());
    const double needed = under.empty() ? 2.0 : under[under.size() * 19 / 20];
    return std::clamp(static_cast<int>(std::ceil(needed)), 2, 8);
}

/// Even steps for even stops: what is half as bright is always as much darker.
double greyOf(double luminance, double most, int stops) {
    if (!(luminance > 0.0)) return 0.0;
    return std::clamp(1.0 + std::log2(luminance / most) / stops, 0.0, 1.0);
}

void drawScale(Canvas& canvas, double most, int stops, const std::string& unit) {
    const double x = kCorner.x + kSide + 30.0;
    constexpr int kSteps = 120;
    for (int i = 0; i < kSteps; ++i)
        canvas.fill({x, kCorner.y + kSide * i / kSteps}, {28.0, kSide / kSteps}, 1.0 - (i + 0.5) / kSteps);
    canvas.line({{x, kCorner.y}, {x + 28.0, kCorner.y}, {x + 28.0, kCorner.y + kSide}, {x, kCorner.y + kSide}, {x, kCorner.y}}, kFrame);
    for (int stop = 0; stop <= stops; ++stop) {
        const double y = kCorner.y + kSide * stop / stops;
        canvas.line({{x + 28.0, y}, {x + 34.0, y}}, kFrame);
        canvas.text({x + 40.0, y}, stop == 0 ? "0" : fmt::format("-{}{}", stop, stop == stops ? ", less" : ""), 15.0);
    }
    canvas.text({x, kCorner.y - 20.0}, "stops", 15.0);
    canvas.text({kCorner.x, kCorner.y + kSide + 66.0}, fmt::format("0 is {:.4g} {}", most, unit), 15.0);
}

}  // namespace

void plotFront(const FrontPlot& plot, const std::filesystem::path& file) {
    const FrontGrid& front = *plot.front;
    const double most = brightest(front);
    const int stops = stopsShown(front, most);
    const double scale = kSide / std::max(front.width_m, front.height_m);
    const glm::dvec2 size(scale * front.width_m, scale * front.height_m);
    const glm::dvec2 corner = kCorner + 0.5 * (glm::dvec2(kSide) - size);
    const glm::dvec2 cell(size.x / front.columns, size.y / front.rows);

    Canvas canvas(file, kWidth, kHeight);
    canvas.text({60.0, 30.0}, plot.title, 20.0);
    canvas.text({60.0, 56.0}, plot.subtitle, 15.0, Anchor::start, 0.3);
    for (int row = 0; row < front.rows; ++row)
        for (int column = 0; column < front.columns; ++column) {
            const auto i = static_cast<std::size_t>(row * front.columns + column);
            if (front.open[i] == 0) continue;
            // y goes up on the front and down on the paper.
            const glm::dvec2 at = corner + glm::dvec2(cell.x * column, cell.y * (front.rows - 1 - row));
            canvas.fill(at, cell, greyOf(front.luminance[i].mean(), most, stops));
        }
    const glm::dvec2 end = corner + size;
    canvas.line({corner, {end.x, corner.y}, end, {corner.x, end.y}, corner}, kFrame);
    canvas.text({0.5 * (corner.x + end.x), kCorner.y + kSide + 24.0},
                fmt::format("{:.3g} x {:.3g} cm, seen against the light from far on the axis", 100.0 * front.width_m, 100.0 * front.height_m),
                15.0, Anchor::middle, 0.3);
    drawScale(canvas, plot.flux * most, stops, plot.unit + " as a spot meter reads it" + plot.note);
    canvas.write();
}

}  // namespace keyfall
