// A length for people, with as many digits as its use asks for. Not here: what is measured.
#pragma once

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

namespace keyfall {

/// "20.0 cm". Where lengths that are less than a centimetre apart have to be told from each other, in mm with
/// a digit more than `apart_m` has: "199.34 mm" for 0.1 mm. Infinite: "infinity".
inline std::string lengthText(double metres, double apart_m = std::numeric_limits<double>::infinity()) {
    if (!std::isfinite(metres)) return "infinity";
    if (!(apart_m < 0.01)) return fmt::format("{:.1f} cm", metres * 1e2);
    const double places = std::ceil(-std::log10(std::max(apart_m, 1e-6) * 1e3)) + 1.0;
    return fmt::format("{:.{}f} mm", metres * 1e3, static_cast<int>(std::max(places, 0.0)));
}

}  // namespace keyfall
