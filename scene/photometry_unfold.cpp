#include "scene/photometry_unfold.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace keyfall {

namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kSame_deg = 1e-9;
constexpr double kSame = 1e-9;

struct Plane {
    double angle_deg = 0.0;
    std::size_t source = 0;
};

double wrapped_deg(double angle) {
    const double turned = angle < 0.0 ? angle + 360.0 : angle;
    return turned >= 360.0 - kSame_deg ? turned - 360.0 : turned;
}

/// The angles at which a plane measured at `h` stands.
std::vector<double> images_deg(double h, WebSymmetry symmetry) {
    switch (symmetry) {
        case WebSymmetry::quadrant:
            return {h, 180.0 - h, 180.0 + h, 360.0 - h};
        case WebSymmetry::halves:
            return {h, 360.0 - h};
        case WebSymmetry::sides:
            return {h, 180.0 - h};
        case WebSymmetry::axial:
        case WebSymmetry::none:
            break;
    }
    return {h};
}

std::vector<Plane> planesAround(const std::vector<double>& measured_deg, WebSymmetry symmetry) {
    if (symmetry == WebSymmetry::axial) return {{0.0, 0}, {360.0, 0}};
    std::vector<Plane> planes;
    for (std::size_t i = 0; i < measured_deg.size(); ++i) {
        const bool last = symmetry == WebSymmetry::none && i + 1 == measured_deg.size();
        if (last && measured_deg[i] > 360.0 - kSame_deg) continue;  // closes the turn below
        for (const double angle : images_deg(measured_deg[i], symmetry))
            planes.push_back({wrapped_deg(angle), i});
    }
    std::stable_sort(planes.begin(), planes.end(),
                     [](const Plane& a, const Plane& b) { return a.angle_deg < b.angle_deg; });
    const auto same = [](const Plane& a, const Plane& b) {
        return b.angle_deg - a.angle_deg <= kSame_deg;
    };
    planes.erase(std::unique(planes.begin(), planes.end(), same), planes.end());
    planes.front().angle_deg = 0.0;
    const bool closed = symmetry == WebSymmetry::none && measured_deg.back() > 360.0 - kSame_deg;
    planes.push_back({360.0, closed ? measured_deg.size() - 1 : planes.front().source});
    return planes;
}

double radians(double degrees) {
    return degrees * (kPi / 180.0);
}

/// The plane at angle `h`, when the web has one there.
std::optional<std::size_t> planeAt(const PhotometricWeb& web, double h) {
    const double same = radians(1e-6);
    const double wrapped = h < -same ? h + 2.0 * kPi : h;
    const auto near =
        std::lower_bound(web.horizontal_rad.begin(), web.horizontal_rad.end(), wrapped - same);
    if (near == web.horizontal_rad.end() || *near > wrapped + same) return {};
    return static_cast<std::size_t>(near - web.horizontal_rad.begin());
}

bool alike(const PhotometricWeb& web, std::size_t a, std::size_t b, double tolerance_cd) {
    const std::size_t rows = web.vertical_rad.size();
    for (std::size_t v = 0; v < rows; ++v)
        if (std::fabs(web.intensity_cd[a * rows + v] - web.intensity_cd[b * rows + v]) >
            tolerance_cd)
            return false;
    return true;
}

/// Whether every plane h is like the one at `sum` - h, and the mirror's own planes are there.
bool mirrored(const PhotometricWeb& web, double sum, double tolerance_cd) {
    if (!planeAt(web, 0.5 * sum) || !planeAt(web, 0.5 * sum - kPi)) return false;
    for (std::size_t i = 0; i < web.horizontal_rad.size(); ++i) {
        const auto other = planeAt(web, sum - web.horizontal_rad[i]);
        if (!other || !alike(web, i, *other, tolerance_cd)) return false;
    }
    return true;
}

}  // namespace

void unfold(const MeasuredPlanes& measured, WebSymmetry symmetry, PhotometricWeb& web) {
    const std::size_t rows = measured.vertical_deg.size();
    web.vertical_rad.clear();
    for (const double v : measured.vertical_deg)
        web.vertical_rad.push_back(v == 180.0 ? kPi : radians(v));
    web.horizontal_rad.clear();
    web.intensity_cd.clear();
    for (const Plane& plane : planesAround(measured.horizontal_deg, symmetry)) {
        web.horizontal_rad.push_back(plane.angle_deg == 360.0 ? 2.0 * kPi
                                                              : radians(plane.angle_deg));
        const auto first =
            measured.intensity_cd.begin() + static_cast<std::ptrdiff_t>(plane.source * rows);
        web.intensity_cd.insert(web.intensity_cd.end(), first,
                                first + static_cast<std::ptrdiff_t>(rows));
    }
}

bool goesAround(const std::vector<double>& h) {
    double step = 0.0;
    for (std::size_t i = 1; i < h.size(); ++i) step = std::max(step, h[i] - h[i - 1]);
    return h.back() > 180.0 && 360.0 - h.back() <= step * 1.000001;
}

WebSymmetry symmetryOf(const PhotometricWeb& web) {
    const double tolerance_cd =
        kSame * *std::max_element(web.intensity_cd.begin(), web.intensity_cd.end());
    bool axial = true;
    for (std::size_t i = 1; axial && i < web.horizontal_rad.size(); ++i)
        axial = alike(web, 0, i, tolerance_cd);
    if (axial) return WebSymmetry::axial;
    const bool halves = mirrored(web, 2.0 * kPi, tolerance_cd);
    const bool sides = mirrored(web, kPi, tolerance_cd);
    if (halves && sides) return WebSymmetry::quadrant;
    if (halves) return WebSymmetry::halves;
    return sides ? WebSymmetry::sides : WebSymmetry::none;
}

}  // namespace keyfall
