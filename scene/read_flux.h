// From what is known of a lamp's output to the flux that leaves it at full power.
// Not here: the lamp's place and colour (read_lights.cpp).
#pragma once

#include "scene/lamp_shape.h"
#include "scene/read_worn.h"

namespace keyfall {

struct Flux {
    double full = 0.0;             ///< lm, or lm*s of a flash, leaving the lamp; NaN: of `rating`
    bool uncertain = false;        ///< from W or W*s alone
    std::optional<Rating> rating;  ///< of the lamp in a modifier; its bands are left to the caller
};

/// Flash or continuous: as written, else as the figure that is given says; recorded as a default.
LightKind kindOf(const Fields& fields);

/// Solves the flux from energy, lumens, a guide number or a reading of the bare lamp. What is said of
/// the lamp in a modifier becomes a Rating at full power. Empty after a mistake, which is reported.
///
/// The bare lamp radiates Phi = pi L A s, A its area and s the share that leaves it, so with
/// k = L / Phi = 1 / (pi A s):
///     guide number   I = C GN^2 / S (cd*s) = L * area seen along the axis      => Phi = I/(area k)
///     a reading      E = L * projected solid angle seen from the meter         => Phi = E/(angle
///     k)
/// with S = 100, C = 250 (ISO 2720:1974, flat receptor), and H = C N^2 / S for a reading.
std::optional<Flux> solveFlux(const Fields& fields, LightKind kind, const LampModel& lamp,
                              BuiltModifiers& modifiers);

}  // namespace keyfall
