// From a scene and its readings to the input of `settings`. Not here: the arithmetic (settings.h).
#pragma once

#include <string>
#include <vector>

#include "renderer/meter/readings.h"
#include "renderer/meter/settings.h"
#include "renderer/meter/visible.h"

namespace keyfall {

/// The reading that a wish is stated for: the one named, or without a name the first incident, else the
/// first dome. Null: there is none, or it was not read.
const ProbeReading* settingsProbe(const std::vector<ProbeReading>& readings, const std::string& name);

/// Nearest and farthest depth of what the camera sees of the products, in a scene without any of the blocks.
/// Empty: it sees none.
std::optional<glm::dvec2> seenSubject_m(const Scene& scene, const VisiblePicture& seen);

/// Lights that are on and not at power 0, then ambient and glow, each as read at the probe. `move` names
/// the lamps whose power may change; empty: all of them. Subject: the products, without any the blocks; all
/// of their depth, where what is seen of it (visible.h) is not put in its place. `white` as in cameraWhite().
SettingsInput settingsInput(const Scene& scene, const ProbeReading& reading, glm::dvec3 white,
                            const std::vector<std::string>& move);

/// Stops over the wish with their interval.
Measured stopsOverOf(const SettingsInput& input, const Setting& setting);
/// What the meter shows with these settings, with its interval.
Measured meterApertureOf(const SettingsInput& input, const Setting& setting);
/// Ambient light over flash with its interval; empty where one of them is missing.
std::optional<Measured> ambientOf(const SettingsInput& input, const Setting& setting);
/// Stops that a lamp is short of, as set; the interval is that of the power it needs, cut at 0.
Measured shortOf(const SettingsInput& input, std::size_t need);

}  // namespace keyfall
