// Does a lamp's body fit into a modifier, and how far forward must it stand?
// Not here: the modifier's surfaces.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scene/modifier_build_parts.h"

namespace keyfall::modifiers {
namespace {

constexpr double kStep_m = 1e-4;
constexpr int kSlices = 64;

double a(const LampShape& lamp) {
    return static_cast<double>(lamp.a_m);
}
double b(const LampShape& lamp) {
    return static_cast<double>(lamp.b_m);
}
/// Half the chord of a circle of this radius, `along` from its middle.
double halfChord(double radius, double along) {
    return std::sqrt(std::max(0.0, radius * radius - along * along));
}

}  // namespace

bool isTurned(const LampShape& lamp) {
    return lamp.kind == LampKind::sphere || lamp.kind == LampKind::ring ||
           lamp.kind == LampKind::disc;
}

double reachAcross_m(const LampShape& lamp, double along_m) {
    switch (lamp.kind) {
        case LampKind::sphere:
            return halfChord(0.5 * a(lamp), along_m);
        case LampKind::tube:
            return std::hypot(0.5 * a(lamp), halfChord(0.5 * b(lamp), along_m));
        case LampKind::ring:
            return 0.5 * a(lamp) + halfChord(0.5 * b(lamp), along_m);
        case LampKind::disc:
            return 0.5 * a(lamp);
        case LampKind::panel:
            return 0.5 * std::hypot(a(lamp), b(lamp));
    }
    return 0.0;
}

double lampDepth_m(const Builder& builder, const std::function<double(double)>& radius_m,
                   double end_m) {
    const LampShape& lamp = builder.lamp;
    const double along = axisReach_m(lamp);
    const auto isClear = [&](double centre) {
        for (int k = -kSlices; k <= kSlices; ++k) {
            const double at = along * k / kSlices;
            if (reachAcross_m(lamp, at) + kSpare_m > radius_m(centre + at)) return false;
        }
        return true;
    };
    const double first = std::max(builder.model.lampAt_m, along + kSpare_m);
    const double last = end_m - along - kSpare_m;
    // Whole steps from where the model wants it: rounding decides nothing.
    for (int step = 0; first + step * kStep_m <= last; ++step)
        if (isClear(first + step * kStep_m)) return first + step * kStep_m;
    throw ModifierMisfit(
        fmt::format("{} finds no place in {} between {:.4g} and {:.4g} cm from its back; allowed: "
                    "a lamp that stays "
                    "{} mm clear of what is around it",
                    describe(lamp), builder.model.name, kCmPerM * builder.model.lampAt_m,
                    kCmPerM * end_m, 1000.0 * kSpare_m));
}

std::string describe(const LampShape& lamp) {
    const double a_cm = kCmPerM * a(lamp), b_cm = kCmPerM * b(lamp);
    switch (lamp.kind) {
        case LampKind::sphere:
            return fmt::format("a sphere of {:.4g} cm", a_cm);
        case LampKind::tube:
            return fmt::format("a tube of {:.4g} x {:.4g} cm", a_cm, b_cm);
        case LampKind::ring:
            return fmt::format("a ring of {:.4g} cm", a_cm + b_cm);
        case LampKind::disc:
            return fmt::format("a disc of {:.4g} cm", a_cm);
        case LampKind::panel:
            return fmt::format("a panel of {:.4g} x {:.4g} cm", a_cm, b_cm);
    }
    return {};
}

}  // namespace keyfall::modifiers
