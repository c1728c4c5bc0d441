// What every web that was read has to be, whichever format it came from. Not here: reading one.
#pragma once

#include <cmath>
#include <numbers>
#include <string>

#include "scene/photometry_file.h"

namespace keyfall::fuzz {

inline bool rises(const std::vector<double>& list) {
    for (std::size_t i = 1; i < list.size(); ++i)
        if (!(list[i] > list[i - 1])) return false;
    return list.size() >= 2;
}

inline std::string brokenByWeb(const PhotometricWeb& web) {
    if (!rises(web.vertical_rad) || !rises(web.horizontal_rad)) return "angles rise";
    if (web.horizontal_rad.front() != 0.0 || web.horizontal_rad.back() != 2.0 * std::numbers::pi)
        return "horizontal angles go around once";
    if (web.vertical_rad.front() < 0.0 || web.vertical_rad.back() > std::numbers::pi)
        return "vertical angles lie within 0 to pi";
    if (web.intensity_cd.size() != web.vertical_rad.size() * web.horizontal_rad.size())
        return "an intensity for each direction";
    for (const double value : web.intensity_cd)
        if (!(value >= 0.0) || !std::isfinite(value)) return "intensities are 0 or more";
    const double flux = fluxByInterpolation_lm(web);
    if (!(flux >= 0.0) || !std::isfinite(flux)) return "a finite flux";
    const PhotometricWeb again = parseLm63(lm63Text(web, "again"));
    if (std::fabs(fluxByInterpolation_lm(again) - flux) > 1e-6 * flux)
        return "written and read again it has the same flux";
    for (const glm::dvec3 direction :
         {glm::dvec3(0, 0, 1), glm::dvec3(0.6, 0, -0.8), glm::dvec3(0, -1, 0)})
        if (!(intensity_cd(web, direction) >= 0.0)) return "an intensity in every direction";
    return {};
}

}  // namespace keyfall::fuzz
