// A series as curves: each figure against the first key, a curve for each value of the second, the
// 95 % interval as a bar at each point. Not here: the numbers (series.cpp), the drawing library
// (plot_canvas.h).
#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "plot_canvas.h"
#include "series.h"

namespace keyfall {
namespace {

constexpr double kLeft = 100.0, kPlotWidth = 640.0, kPlotHeight = 250.0, kTop = 90.0,
                 kPanel = 350.0;
constexpr int kWidth_px = 960;
constexpr Pen kFrame{0.4, 1.0, 0.0};
constexpr Pen kGrid{0.85, 1.0, 0.0};

struct Axis {
    double low = 0.0, high = 1.0;
    double share(double x) const { return (x - low) / (high - low); }
};

/// 1, 2 or 5 times a power of ten: about `wanted` steps over the axis.
double stepOf(const Axis& axis, double wanted) {
    const double raw = (axis.high - axis.low) / wanted;
    const double ten = std::pow(10.0, std::floor(std::log10(raw)));
    for (const double m : {1.0, 2.0, 5.0})
        if (m * ten >= raw * 0.999) return m * ten;
    return 10.0 * ten;
}

Axis padded(double low, double high) {
    if (!(high > low)) return {low - 0.5, high + 0.5};
    const double pad = 0.06 * (high - low);
    return {low - pad, high + pad};
}

Axis axisOfKey(const SeriesKey& key) {
    double low = key.values[0].x, high = low;
    for (const VariedValue& v : key.values) low = std::min(low, v.x), high = std::max(high, v.x);
    return padded(low, high);
}

/// Over all intervals of a figure; one of no reading at all is 0 to 1.
Axis axisOfFigure(const Series& series, std::size_t figure) {
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (const SeriesRow& row : series.rows) {
        if (!row.readings[figure]) continue;
        low = std::min(low, row.readings[figure]->interval95.low);
        high = std::max(high, row.readings[figure]->interval95.high);
    }
    return low <= high ? padded(low, high) : Axis{};
}

struct Panel {
    Canvas& canvas;
    double top;
    Axis x, y;
    glm::dvec2 at(double px, double py) const {
        return {kLeft + kPlotWidth * x.share(px), top + kPlotHeight * (1.0 - y.share(py))};
    }
};

/// As many values of the key as have room; all of them where they are few.
void drawKeyAxis(const Panel& p, const SeriesKey& key) {
    const std::size_t every = 1 + (key.values.size() - 1) / 12;
    for (std::size_t i = 0; i < key.values.size(); i += every) {
        const glm::dvec2 foot(p.at(key.values[i].x, 0.0).x, p.top + kPlotHeight);
        p.canvas.line({foot, {foot.x, p.top}}, kGrid);
        p.canvas.text(foot + glm::dvec2(0.0, 16.0), key.values[i].text, 13.0, Anchor::middle);
    }
    const std::string unit = key.asText || key.unit.empty() ? "" : ", " + key.unit;
    p.canvas.text({kLeft + 0.5 * kPlotWidth, p.top + kPlotHeight + 38.0}, key.key + unit, 14.0,
                  Anchor::middle, 0.3);
}

void drawFigureAxis(const Panel& p) {
    const double step = stepOf(p.y, 5.0);
    const int digits = std::clamp(static_cast<int>(std::ceil(-std::log10(step) - 1e-9)), 0, 6);
    for (double v = std::ceil(p.y.low / step) * step; v <= p.y.high; v += step) {
        const double height = p.at(p.x.low, v).y;
        p.canvas.line({{kLeft, height}, {kLeft + kPlotWidth, height}}, kGrid);
        // -0.0 is 0.
        p.canvas.text({kLeft - 8.0, height},
                      fmt::format("{:.{}f}", std::abs(v) < 1e-9 * step ? 0.0 : v, digits), 13.0,
                      Anchor::end);
    }
}

/// Curves differ by dashes, so that a print in black tells them apart, and carry their value at the
/// end.
std::optional<glm::dvec2> drawCurve(const Panel& p, const Series& series, std::size_t figure,
                                    std::size_t curve) {
    const std::size_t n = series.keys[0].values.size();
    const bool joined = series.keys[0].isNumber;
    const std::array<double, 4> dashes = {0.0, 8.0, 3.0, 14.0};
    const Pen pen{curve < 4 ? 0.0 : 0.45, 1.6, dashes[curve % dashes.size()]};
    std::vector<glm::dvec2> line;
    const auto draw = [&] {
        if (line.size() > 1 && joined) p.canvas.line(line, pen);
        line.clear();
    };
    std::optional<glm::dvec2> last;
    std::vector<SeriesRow> rows;
    for (const SeriesRow& row : series.rows)
        if (row.index / n == curve) rows.push_back(row);
    std::stable_sort(rows.begin(), rows.end(), [&](const SeriesRow& a, const SeriesRow& b) {
        return series.value(a.index, 0).x < series.value(b.index, 0).x;
    });
    for (const SeriesRow& row : rows) {
        const auto& m = row.readings[figure];
        if (!m) {
            draw();
            continue;
        }
        const double x = series.value(row.index, 0).x;
        p.canvas.line({p.at(x, m->interval95.low), p.at(x, m->interval95.high)}, {0.3, 3.0, 0.0});
        p.canvas.circle(p.at(x, m->value), 3.0, {0.0, 1.2, 0.0});
        line.push_back(p.at(x, m->value));
        last = line.back();
    }
    draw();
    return last;
}

/// The second key's values at the ends of their curves; curves that end in one place share a line.
void drawCurveNames(const Panel& p, std::vector<std::pair<glm::dvec2, std::string>> ends) {
    std::stable_sort(ends.begin(), ends.end(),
                     [](const auto& a, const auto& b) { return a.first.y < b.first.y; });
    for (std::size_t i = 0; i < ends.size(); ++i) {
        std::string name = ends[i].second;
        const glm::dvec2 at = ends[i].first;
        for (; i + 1 < ends.size() && ends[i + 1].first.y - at.y < 13.0; ++i)
            name += ", " + ends[i + 1].second;
        p.canvas.label(at + glm::dvec2(12.0, 0.0), name, 13.0, Anchor::start);
    }
}

}  // namespace

void plotSeries(const Series& series, const std::string& file) {
    const auto panels = static_cast<double>(series.read.size());
    Canvas canvas(file, kWidth_px, static_cast<int>(kTop + kPanel * panels));
    canvas.text({40.0, 30.0}, series.title.empty() ? series.scene : series.title, 18.0);
    canvas.text({40.0, 54.0},
                series.keys.size() > 1
                    ? "a curve for each " + series.keys[1].key + "; bars are 95 % intervals"
                    : "bars are 95 % intervals",
                14.0, Anchor::start, 0.3);
    for (std::size_t f = 0; f < series.read.size(); ++f) {
        const Panel p{canvas, kTop + kPanel * static_cast<double>(f) + 22.0,
                      axisOfKey(series.keys[0]), axisOfFigure(series, f)};
        canvas.text({kLeft, p.top - 14.0},
                    series.read[f] + (series.units[f].empty() ? "" : ", " + series.units[f]), 15.0);
        drawKeyAxis(p, series.keys[0]);
        drawFigureAxis(p);
        canvas.line({{kLeft, p.top},
                     {kLeft, p.top + kPlotHeight},
                     {kLeft + kPlotWidth, p.top + kPlotHeight}},
                    kFrame);
        const std::size_t curves = series.keys.size() > 1 ? series.keys[1].values.size() : 1;
        std::vector<std::pair<glm::dvec2, std::string>> ends;
        for (std::size_t c = 0; c < curves; ++c)
            if (const auto end = drawCurve(p, series, f, c); end && series.keys.size() > 1)
                ends.push_back({*end, series.keys[1].values[c].text});
        drawCurveNames(p, std::move(ends));
    }
    canvas.write();
}

}  // namespace keyfall
