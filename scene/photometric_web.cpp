#include "scene/photometric_web.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace keyfall {

namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;

/// Where `x` lies in the ascending `grid`: a cell, and the share of the way through it.
struct Cell {
    std::size_t low = 0;
    double share = 0.0;
};

Cell cellOf(const std::vector<double>& grid, double x) {
    const auto above = std::upper_bound(grid.begin() + 1, grid.end() - 1, x);
    const auto low = static_cast<std::size_t>(above - grid.begin()) - 1;
    return {low, std::clamp((x - grid[low]) / (grid[low + 1] - grid[low]), 0.0, 1.0)};
}

/// Intensity of every measured vertical angle, averaged around the axis by the trapezoid rule: the
/// exact mean of what is linear between the horizontal angles.
std::vector<double> meanAround_cd(const PhotometricWeb& web) {
    const std::size_t rows = web.vertical_rad.size();
    std::vector<double> mean(rows, 0.0);
    for (std::size_t h = 0; h + 1 < web.horizontal_rad.size(); ++h) {
        const double share = (web.horizontal_rad[h + 1] - web.horizontal_rad[h]) / kTurn;
        for (std::size_t v = 0; v < rows; ++v)
            mean[v] += 0.5 * share *
                       (web.intensity_cd[h * rows + v] + web.intensity_cd[(h + 1) * rows + v]);
    }
    return mean;
}

}  // namespace

double intensity_cd(const PhotometricWeb& web, glm::dvec3 direction) {
    // Not acos: it loses half of its digits near the axis.
    const double v = std::atan2(std::hypot(direction.x, direction.y), direction.z);
    if (v < web.vertical_rad.front() || v > web.vertical_rad.back()) return 0.0;
    double h = std::atan2(direction.y, direction.x);
    if (h < 0.0) h += kTurn;
    const Cell down = cellOf(web.vertical_rad, v), around = cellOf(web.horizontal_rad, h);
    const std::size_t rows = web.vertical_rad.size();
    const auto column = [&](std::size_t at) {
        const double* value = &web.intensity_cd[at * rows + down.low];
        return value[0] + down.share * (value[1] - value[0]);
    };
    const double low = column(around.low);
    return low + around.share * (column(around.low + 1) - low);
}

// With I linear from A at a to B at b:  integral of I sin v dv = A wa + B wb,
//   wb = integral of (v - a)/(b - a) sin v = (sin b - sin a)/(b - a) - cos b,
//   wa = cos a - cos b - wb.
double fluxByInterpolation_lm(const PhotometricWeb& web) {
    const std::vector<double> mean = meanAround_cd(web);
    double sum = 0.0;
    for (std::size_t v = 0; v + 1 < mean.size(); ++v) {
        const double a = web.vertical_rad[v], b = web.vertical_rad[v + 1];
        const double wb = (std::sin(b) - std::sin(a)) / (b - a) - std::cos(b);
        sum += mean[v] * (std::cos(a) - std::cos(b) - wb) + mean[v + 1] * wb;
    }
    return kTurn * sum;
}

double fluxByZones_lm(const PhotometricWeb& web) {
    const std::vector<double> mean = meanAround_cd(web);
    double sum = 0.0;
    for (std::size_t v = 0; v + 1 < mean.size(); ++v)
        sum += 0.5 * (mean[v] + mean[v + 1]) *
               (std::cos(web.vertical_rad[v]) - std::cos(web.vertical_rad[v + 1]));
    return kTurn * sum;
}

}  // namespace keyfall
