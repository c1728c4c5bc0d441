#include "scene/limit_steps.h"

#include <algorithm>
#include <cmath>

#include "scene/photo.h"
#include "scene/third_stops.h"

namespace keyfall {
namespace {

constexpr double kSame = 1e-6;

// What a scene without [limits] may use, exact. Common practice, no source: the lens is not known.
constexpr glm::dvec2 kUsualApertures{2.8284271247461903, 22.627416997969522};  // f/2.8 to f/22
constexpr glm::dvec2 kUsualShutters_s{1.0 / 4096.0, 8.0};                      // 1/4000 s to 8 s
constexpr double kUsualHighestIso = 6400.0;

glm::dvec2 usualIsos(const Camera& camera) {
    const double base = engravedIso(camera.electronics.baseIso).exact;
    return {base, std::max(base, kUsualHighestIso)};
}

bool within(glm::dvec2 range, double value) {
    return value >= range.x * (1.0 - kSame) && value <= range.y * (1.0 + kSame);
}

/// The limits, else the usual range and as far as what is set.
glm::dvec2 rangeOf(const std::optional<glm::dvec2>& limits, glm::dvec2 usual, const Engraved& set) {
    if (limits) return *limits;
    return {std::min(usual.x, set.exact), std::max(usual.y, set.exact)};
}

/// What is set belongs to it too, an odd number as well.
std::vector<Engraved> withSet(std::vector<Engraved> values, const Engraved& set, glm::dvec2 range) {
    const auto same = [&](const Engraved& e) { return std::abs(e.exact - set.exact) <= kSame * set.exact; };
    if (within(range, set.exact) && std::none_of(values.begin(), values.end(), same)) values.push_back(set);
    return values;
}

}  // namespace

LimitSteps stepsWithin(const Limits& limits, const Camera& c, bool flash) {
    const glm::dvec2 apertures = rangeOf(limits.aperture, kUsualApertures, c.aperture);
    const glm::dvec2 shutters_s = rangeOf(limits.shutter_s, kUsualShutters_s, c.shutter_s);
    const glm::dvec2 isos = rangeOf(limits.iso, usualIsos(c), c.iso);
    LimitSteps steps{withSet(thirdStopApertures(apertures), c.aperture, apertures),
                     withSet(thirdStopShutters(shutters_s), c.shutter_s, shutters_s),
                     withSet(thirdStopIsos(isos), c.iso, isos)};
    if (flash)
        std::erase_if(steps.shutter_s,
                      [&](const Engraved& t) { return t.exact < c.flashSync_s * (1.0 - kSame); });
    if (steps.shutter_s.empty() && !limits.shutter_s) steps.shutter_s = {{c.flashSync_s, c.flashSync_s}};
    return steps;
}

}  // namespace keyfall
