// Which apertures, times and speeds may be used. Not here: which of them expose well (settings.cpp).
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "renderer/meter/settings.h"
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

std::string listed(glm::dvec2 range) {
    return fmt::format("[{:.4g}, {:.4g}]", range.x, range.y);
}

std::string betweenSteps(const char* key, glm::dvec2 range) {
    return fmt::format(
        "limits.{} {} holds no third-stop value and not the one that is set; needed: one at least; widen the "
        "range",
        key, listed(range));
}

}  // namespace

SettingsRanges rangesOf(const SettingsInput& input) {
    const Camera& c = input.camera;
    const glm::dvec2 apertures = rangeOf(input.limits.aperture, kUsualApertures, c.aperture);
    const glm::dvec2 shutters_s = rangeOf(input.limits.shutter_s, kUsualShutters_s, c.shutter_s);
    const glm::dvec2 isos = rangeOf(input.limits.iso, usualIsos(c), c.iso);
    SettingsRanges ranges{withSet(thirdStopApertures(apertures), c.aperture, apertures),
                          withSet(thirdStopShutters(shutters_s), c.shutter_s, shutters_s),
                          withSet(thirdStopIsos(isos), c.iso, isos)};
    if (hasFlash(input))
        std::erase_if(ranges.shutter_s,
                      [&](const Engraved& t) { return t.exact < c.flashSync_s * (1.0 - kSame); });
    return ranges;
}

std::string whyNothingIsLeft(const SettingsInput& input, const SettingsRanges& ranges) {
    const Limits& l = input.limits;
    if (ranges.aperture.empty()) return betweenSteps("aperture", l.aperture.value_or(glm::dvec2(0.0)));
    if (ranges.iso.empty()) return betweenSteps("iso", l.iso.value_or(glm::dvec2(0.0)));
    if (!ranges.shutter_s.empty()) return {};
    const glm::dvec2 times_s = l.shutter_s.value_or(glm::dvec2(0.0));
    if (times_s.y < input.camera.flashSync_s * (1.0 - kSame))
        return fmt::format(
            "limits.shutter {} s holds only times shorter than camera.flash_sync ({:.4g} s), and a flash is "
            "on; "
            "needed: a time that passes the whole flash; widen the range or switch the flash off",
            listed(times_s), input.camera.flashSync_s);
    return betweenSteps("shutter", times_s);
}

}  // namespace keyfall
