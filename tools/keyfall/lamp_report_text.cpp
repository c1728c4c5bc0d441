// A lamp's figures as lines for people. Not here: the same for programs (lamp_report_json.cpp).
#include <fmt/core.h>

#include <cmath>
#include <numbers>

#include "lamp_report.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

constexpr double kDegrees = 180.0 / std::numbers::pi;

/// "9108 ± 3", as many figures as its interval makes sense of.
std::string amount(const Measured& m, double factor, const char* unit) {
    const double half = factor * m.interval95.half();
    const double value = factor * m.value;
    if (!(half > 0.0)) return fmt::format("{:.5g} {}", value, unit);
    return fmt::format("{:.5g} ± {:.2g} {}", value, half, unit);
}

/// Of light that was looked for: none found is no reading, not 0.
std::string reading(const Measured& m, double factor, const char* unit) {
    return m.value == 0.0 ? std::string("no light found") : amount(m, factor, unit);
}

std::string row(const char* name, const std::string& text) { return fmt::format("{:<18} {}\n", name, text); }

std::string share(double value) { return fmt::format("{:.1f} %", 100.0 * value); }

std::string shareAndLoss(double out) {
    if (!(out > 0.0)) return "none of it";
    return fmt::format("{} of it, {:.2f} stop lost", share(out), -std::log2(out));
}

/// Gels count as part of the lamp: the share that they take is gone before the modifier.
std::string fluxSource(const LampReport& r) {
    const char* from = r.gels.empty() ? "leave the lamp" : "leave the lamp behind its gels";
    return from + std::string(r.isPerThousand ? "; nobody said how much, so all figures are per 1000" : " at full power");
}

std::string fluxLines(const LampReport& r) {
    const LampFigures& f = r.figures;
    const LampUnits unit = unitsOf(r.kind);
    std::string text = row("flux in", fmt::format("{:.5g} {} {}", r.flux, unit.flux, fluxSource(r)));
    if (f.photons > 0) {
        const char* where = f.hasDoors ? " (before its doors)" : "";
        text += row("flux out", amount(f.out, r.flux, unit.flux) + where + ": " + shareAndLoss(f.out.value));
        text += row("", fmt::format("{} straight from the lamp, {} scattered on the way", share(f.straight), share(f.scattered)));
        text += row("absorbed", amount(f.absorbed, r.flux, unit.flux) +
                                    fmt::format("; out and absorbed together {:.2f} % of flux in", 100.0 * (f.out.value + f.absorbed.value)));
    }
    return text + row("metered", amount(f.metered, r.flux, unit.flux) + " through a sphere around it" + (f.hasDoors ? ", doors and all" : ""));
}

std::string axisLines(const LampReport& r) {
    const LampFigures& f = r.figures;
    const LampUnits unit = unitsOf(r.kind);
    std::string axis = reading(f.axis_perSr, r.flux, unit.intensity);
    if (f.gain_stops && f.photons > 0)
        axis += fmt::format("; {:+.2f} ± {:.2f} stop against the bare lamp ({:.5g} {})", f.gain_stops->value, f.gain_stops->interval95.half(),
                            r.flux * *f.bareAxis_perSr, unit.intensity);
    std::string text = row("on the axis", axis);
    if (f.tracedAxis_perSr && f.tracedAxis_perSr->value > 0.0 && f.axis_perSr.value > 0.0)
        text += row("", fmt::format("seen into the real inside {}: the table, with which sets are lit, is off by {:+.3f} stop",
                                    amount(*f.tracedAxis_perSr, r.flux, unit.intensity),
                                    std::log2(f.axis_perSr.value / f.tracedAxis_perSr->value)));
    if (f.tableNoise) text += row("", fmt::format("of the ± here, at 1 m, of gain and colour, the noise of the table is {:.2g} %", 100.0 * *f.tableNoise));
    else if (f.photons > 0) text += row("", "the noise of the table, which draft does not measure, is in no ± here");
    text += row("at 1 m", reading(f.at1m_perM2, r.flux, unit.illuminance) + (f.photons > 0 ? " from the exit" : " from the lamp's centre"));
    if (r.kind == LightKind::flash && !r.isPerThousand && f.axis_perSr.value > 0.0)
        text += row("guide number", fmt::format("{:.3g} m at ISO 100 (f-number times metres, far away; C {:g})",
                                                guideNumber_m(r.flux * f.axis_perSr.value), kMeterC_flat));
    return text;
}

std::string degrees(const std::optional<Measured>& m) {
    if (!m) return "all around";
    return fmt::format("{:.1f} ± {:.1f}°", kDegrees * m->value, kDegrees * m->interval95.half());
}

std::string angleText(const LampAngle& angle, const char* share) {
    const bool differ = angle.x_rad.has_value() != angle.y_rad.has_value() ||
                        (angle.x_rad && std::abs(angle.x_rad->value - angle.y_rad->value) > 1.0 / kDegrees);
    std::string text;
    if (!angle.x_rad && !angle.y_rad) return fmt::format("none: it falls nowhere to {} of what is on the axis", share);
    if (angle.mean_rad) text = degrees(angle.mean_rad) + (differ ? " in the mean; " : "");
    if (differ) text += degrees(angle.x_rad) + " across its width, " + degrees(angle.y_rad) + " across its height";
    return text + fmt::format(", where it falls to {}", share);
}

std::string colourText(const LampColour& c, bool behindGels) {
    return fmt::format("{:.0f} ± {:.0f} K, Duv {:+.4f}; {} {:.0f} K, Duv {:+.4f}: {:+.1f} ± {:.1f} mired", c.temperature_K.value,
                       c.temperature_K.interval95.half(), c.duv.value, behindGels ? "the lamp behind its gels" : "the bare lamp", c.bareTemperature_K, c.bareDuv, c.shift_mired.value,
                       c.shift_mired.interval95.half());
}

}  // namespace

LampUnits unitsOf(LightKind kind) {
    if (kind == LightKind::flash) return {"lm·s", "cd·s", "lx·s", "cd·s/m²"};
    return {"lm", "cd", "lx", "cd/m²"};
}

std::string evennessText(const Measured& stops) {
    const double half = stops.interval95.half();
    if (stops.value < half) return fmt::format("even to less than {:.1g} stop, which is its noise", stops.value + half);
    const int digits = half < 0.1 ? 2 : 1;
    return fmt::format("even to {:.{}f} ± {:.{}f} stop", stops.value, digits, half, digits);
}

std::string textOf(const LampReport& r) {
    const LampFigures& f = r.figures;
    std::string text = fmt::format("{}{}", r.light, r.modifier == "none" ? ", bare" : " with " + r.modifier);
    if (!r.gels.empty()) {
        text += ", behind";
        for (const std::string& gel : r.gels) text += " " + gel;
    }
    if (f.photons > 0) text += fmt::format(" · {} photons", f.photons);
    text += "\n" + fluxLines(r) + axisLines(r);
    text += row("beam angle", angleText(f.beam, "50 %"));
    text += row("field angle", angleText(f.field, "10 %"));
    if (f.evenness_stops) text += row("front", evennessText(*f.evenness_stops) + ", seen from far on the axis");
    if (f.colour) text += row("colour", colourText(*f.colour, !r.gels.empty()));
    if (r.iesFlux)
        text += row("photometric file", fmt::format("{:.5g} {}, {:+.2f} % of the flux metered", *r.iesFlux, unitsOf(r.kind).flux,
                                                    100.0 * (*r.iesFlux / (r.flux * f.metered.value) - 1.0)));
    for (const Warning& w : warningsOf(r)) text += fmt::format("warning: {}\n", w.text);
    return text + safetyLines(r);
}

}  // namespace keyfall
