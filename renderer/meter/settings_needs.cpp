#include "renderer/meter/settings_needs.h"

#include <algorithm>
#include <cmath>

namespace keyfall {
namespace {

/// The first of `values`, nearest to what is set first, that exposes; else the first that nearly does.
template <class Put>
std::optional<Setting> nearestThatExposes(const SettingsInput& input, const LightAtProbe& light,
                                          std::vector<Engraved> values, double set, Put put) {
    std::sort(values.begin(), values.end(), [set](const Engraved& a, const Engraved& b) {
        return std::abs(std::log2(a.exact / set)) < std::abs(std::log2(b.exact / set));
    });
    std::optional<Setting> nearly;
    for (const Engraved& value : values) {
        Setting camera = settingAsSet(input);
        put(camera, value);
        const Setting s = withBestPower(input, light, camera);
        if (isExact(s)) return s;
        if (!nearly && isNear(s)) nearly = s;
    }
    return nearly;
}

const Engraved& smallest(const std::vector<Engraved>& v) {
    return *std::min_element(v.begin(), v.end(),
                             [](const Engraved& a, const Engraved& b) { return a.exact < b.exact; });
}
const Engraved& largest(const std::vector<Engraved>& v) {
    return *std::max_element(v.begin(), v.end(),
                             [](const Engraved& a, const Engraved& b) { return a.exact < b.exact; });
}

/// Stops over with the given camera values and all moving lamps changed by `move_stops`.
double overAt(const SettingsInput& input, const Engraved& aperture, const Engraved& shutter_s,
              const Engraved& iso, double move_stops) {
    Setting s;
    s.aperture = aperture;
    s.shutter_s = shutter_s;
    s.iso = iso;
    s.power_stops = movedPowers(input, move_stops);
    return LightAtProbe(input).stopsOver(s);
}

}  // namespace

bool lampCannot(const LampNeed& n) { return std::max(n.short_stops, n.over_stops) > kCloseEnough_stops; }

// Inverse square: a stop less is sqrt(2) of the distance.
std::vector<LampNeed> lampNeeds(const SettingsInput& input, int leftOut) {
    std::vector<LampNeed> needs;
    Setting asSet;
    asSet.aperture = input.camera.aperture;
    asSet.shutter_s = input.camera.shutter_s;
    asSet.iso = input.camera.iso;
    const auto move = LightAtProbe(input, leftOut).moveNeeded_stops(asSet);
    if (!move) return needs;
    for (std::size_t l = 0; l < input.lights.size(); ++l) {
        const SettingsLight& light = input.lights[l];
        if (!light.moves) continue;
        LampNeed need;
        need.light = l;
        need.power_stops = light.power_stops + *move;
        need.short_stops = std::max(0.0, need.power_stops);
        if (light.lowest_stops) need.over_stops = std::max(0.0, *light.lowest_stops - need.power_stops);
        need.distance_m = light.distance_m * std::exp2(0.5 * (need.over_stops - need.short_stops));
        need.leastFlux = light.fullFlux * std::exp2(need.power_stops);
        needs.push_back(need);
    }
    return needs;
}

OneChange oneChanges(const SettingsInput& input, const SettingsRanges& ranges) {
    const LightAtProbe light(input);
    const Camera& c = input.camera;
    OneChange change;
    change.aperture = nearestThatExposes(input, light, ranges.aperture, c.aperture.exact,
                                         [](Setting& s, Engraved v) { s.aperture = v; });
    change.shutter = nearestThatExposes(input, light, ranges.shutter_s, c.shutter_s.exact,
                                        [](Setting& s, Engraved v) { s.shutter_s = v; });
    change.iso =
        nearestThatExposes(input, light, ranges.iso, c.iso.exact, [](Setting& s, Engraved v) { s.iso = v; });
    return change;
}

double shortWithinLimits_stops(const SettingsInput& input, const SettingsRanges& r) {
    const MoveRange range = moveRange(input);
    if (range.least > range.most) return 0.0;
    const double most = overAt(input, smallest(r.aperture), largest(r.shutter_s), largest(r.iso), range.most);
    if (most < -kCloseEnough_stops) return -most;
    if (!std::isfinite(range.least)) return 0.0;
    const double least =
        overAt(input, largest(r.aperture), smallest(r.shutter_s), smallest(r.iso), range.least);
    return least > kCloseEnough_stops ? -least : 0.0;
}

}  // namespace keyfall
