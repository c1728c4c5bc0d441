// A target of `place`: a figure, =, < or >, and a value; and how far a measured figure is from it.
// Not here: the figures (figure.h), the search (place_search.h).
#pragma once

#include <string>

#include "figure.h"

namespace keyfall {

struct Want {
    enum class Is { equal, below, above };
    Figure figure;
    Is is = Is::equal;
    double target = 0.0;
    std::string text;  ///< "contrast(a, b) = 2 stops"
};

/// "contrast(a, b) = 2 stops", "reading(label) = f/11", "mirrors(key, caddy/glaze) < 1". f/11 is
/// the exact step, 11.314. Throws CommandLineError.
Want parseWant(const std::string& text);

/// Signed distance from the target in units of what `place` may be off: 0.05 stop, else 2 %; of a
/// share 0.2 points where that is more. + is above the target. Of < and > it is counted from the
/// end of the interval that lies nearer to the forbidden side: what is reached there is reached
/// surely.
double offBy(const Want& want, const Measured& value);

/// Half of the measured interval in the same units: from 1 on it cannot be told whether a target is reached.
double unsureBy(const Want& want, const Measured& value);

/// What counts of a distance: all of it, or only that beyond the bound.
double missOf(const Want& want, double off);
bool isReached(const Want& want, double off);

}  // namespace keyfall
