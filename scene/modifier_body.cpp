// Outlines of exit faces. Not here: building a modifier (modifier_build*.cpp).
#include "scene/modifier_body.h"

#include <cmath>
#include <numbers>

namespace keyfall {
namespace {

/// Flats of a polygon that touches the unit circle, at angles that are whole parts of a turn from
/// `first`; a point is inside when it is inside all of them: when inside the one nearest to it.
bool insidePolygon(double x, double y, int sides, double first) {
    const double step = 2.0 * std::numbers::pi / sides;
    const double angle = std::atan2(y, x);
    const double flat = first + step * std::round((angle - first) / step);
    return x * std::cos(flat) + y * std::sin(flat) <= 1.0;
}

}  // namespace

bool isOpen(const ExitFace& face, glm::vec2 p) {
    const LampShape& s = face.shape;
    const double x = static_cast<double>(p.x) / (0.5 * static_cast<double>(s.a_m));
    if (s.kind == LampKind::disc) {
        const double y = static_cast<double>(p.y) / (0.5 * static_cast<double>(s.a_m));
        if (face.sides == 0 || x * x + y * y > 1.0) return x * x + y * y <= 1.0;
        const double apothem = std::cos(std::numbers::pi / face.sides);
        if (x * x + y * y <= apothem * apothem) return true;
        return insidePolygon(x / apothem, y / apothem, face.sides, std::numbers::pi / face.sides);
    }
    const double y = static_cast<double>(p.y) / (0.5 * static_cast<double>(s.b_m));
    if (std::abs(x) > 1.0 || std::abs(y) > 1.0) return false;
    if (face.sides == 0 || face.sides == 4 || x * x + y * y <= 1.0) return true;
    return insidePolygon(x, y, face.sides, 0.0);
}

double openArea_m2(const ExitFace& face) {
    const LampShape& s = face.shape;
    const double a = static_cast<double>(s.a_m);
    const double step = face.sides == 0 ? 0.0 : std::numbers::pi / face.sides;
    if (s.kind == LampKind::disc)
        return 0.25 * a * a *
               (face.sides == 0 ? std::numbers::pi : face.sides * std::sin(step) * std::cos(step));
    // Of the square [-1, 1]^2 a polygon about the unit circle fills sides * tan(pi/sides) of 4.
    const double share = face.sides == 0 ? 1.0 : face.sides * std::tan(step) / 4.0;
    return a * static_cast<double>(s.b_m) * share;
}

}  // namespace keyfall
