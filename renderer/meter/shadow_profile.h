// Light along a line across a shadow's edge, and how wide the edge is in it. Not here: where the line lies
// (shadow_find.h, shadow_cross.h), what is reported of it (shadow_edge.h).
#pragma once

#include <optional>
#include <vector>

#include "renderer/meter/readings.h"
#include "renderer/meter/shadow_place.h"

namespace keyfall {

/// The light at one place of the line: of the one light whose edge it is, per unit flux, and of all lights
/// as set; each with the caster and (`open`) with nothing that throws shadows on the set.
struct LinePoint {
    float x_m = 0.0F;  ///< along the line, from the place's at_m; shade to light
    Reading own, ownOpen;
    Reading all, allOpen;
};

/// Places in order. Every place of the line is metered by the same random numbers, with and without the
/// casters: in each replicate the profile is smooth, and what is lit is 1 nearly without noise. What is
/// left of the noise is in the replicates' spread.
using Profile = std::vector<LinePoint>;

/// Where along the line a profile is worth metering: the penumbra and both plateaus, closer where a bare
/// lamp's edge lies in it; across the penumbrae `beside` (from, to along the line); and `from_m` to
/// `to_m` coarsely.
std::vector<float> placesAlong(const EdgePlace& place, float from_m, float to_m,
                               const std::vector<glm::vec2>& beside = {});

struct ProfileSettings {
    RunSettings run;
    std::uint32_t points = 64;  ///< per replicate, a power of two
    std::uint32_t stream = 0;
};
/// `open`: the same set without what throws shadows. Empty: stopped before it was whole.
std::optional<Profile> meterProfile(const Stage& stage, const Stage& open, const EdgePlace& place,
                                    const std::vector<float>& x_m, const ProfileSettings& settings,
                                    PathCounters& counters);

/// The edge in a profile, between the plateaus on either side of the penumbra.
struct EdgeFigures {
    Measured width_m;  ///< along the line, 10 to 90 % of the way from shaded to lit plateau
    std::array<double, kReplicates> widthWithout_m{};  ///< the same without one replicate each
    float x10_m = 0.0F, x90_m = 0.0F;
    std::optional<Measured> depth_stops;  ///< all lights; empty: too little light in the shade
    std::optional<Measured> depthOwn_stops;
    double unevenness = 0.0;  ///< what either plateau still changes over its length, share of the step
};
/// Every light is divided by the open one at the same place: the lamp's fall-off along the line is no edge.
/// Empty: there is no step in it.
std::optional<EdgeFigures> edgeFigures(const Profile& profile, const EdgePlace& place);

}  // namespace keyfall
