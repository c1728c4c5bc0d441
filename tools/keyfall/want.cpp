#include "want.h"

#include <fmt/core.h>

#include <cmath>
#include <cstdlib>

#include "outputs.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

constexpr double kStopsOff = 0.05;
constexpr double kShareOff = 0.02;
constexpr double kPointsOff = 0.2;

std::string trimmed(const std::string& text) {
    const std::size_t begin = text.find_first_not_of(" \t");
    return begin == std::string::npos
               ? ""
               : text.substr(begin, text.find_last_not_of(" \t") - begin + 1);
}

/// Units that people write for the figure's own.
bool isUnit(const Figure& figure, const std::string& said) {
    const std::string unit = unitOf(figure);
    if (said.empty() || said == unit) return true;
    if (unit == "stops") return said == "stop";
    if (unit == "lx") return said == "lux";
    if (unit == "lx s") return said == "lxs" || said == "lx*s" || said == "lx·s";
    return (figure.name == "kf_f" || figure.name == "k_f") && said == ":1";
}

[[noreturn]] void refuseWant(const std::string& text, const std::string& found,
                             const std::string& allowed) {
    throw CommandLineError(fmt::format("--want \"{}\": {}; {}", text, found, allowed));
}

double valueIn(const Want& want, const std::string& said) {
    if (want.figure.name == "reading") {
        const auto aperture = parseApertureReading(said);
        if (!aperture)
            refuseWant(want.text, fmt::format("\"{}\" is no f-number", said),
                       "allowed: f/11, 11, \"f/8 7/10\"");
        return *aperture;
    }
    char* end = nullptr;
    const double value = std::strtod(said.c_str(), &end);
    if (end == said.c_str() || !std::isfinite(value))
        refuseWant(want.text, fmt::format("\"{}\" is no number", said),
                   "allowed: a number with or without its unit; for example = 2 stops");
    if (!isUnit(want.figure, trimmed(end)))
        refuseWant(
            want.text, fmt::format("\"{}\" is not the unit of {}", trimmed(end), want.figure.name),
            unitOf(want.figure).empty() ? "this one has none" : "allowed: " + unitOf(want.figure));
    const bool positive = unitOf(want.figure) != "stops";
    if (positive && !(value > 0.0 || (unitOf(want.figure) == "%" && value == 0.0)))
        refuseWant(want.text, fmt::format("{} is never {:g}", want.figure.name, value),
                   "allowed: above 0");
    return value;
}

}  // namespace

Want parseWant(const std::string& text) {
    const std::size_t close = text.rfind(')');
    const std::size_t sign = text.find_first_of("=<>", close == std::string::npos ? 0 : close);
    Want want;
    want.figure = parseFigure(text.substr(0, sign), "--want");
    want.text = text;
    if (sign == std::string::npos)
        refuseWant(text, "there is no target",
                   "needed: =, < or > and a value; for example " + want.figure.text + " = 2");
    if (text.find_first_not_of(" \t", close + 1) != sign)
        refuseWant(text, "something stands before the sign", "allowed: FIGURE = VALUE");
    want.is = text[sign] == '<'   ? Want::Is::below
              : text[sign] == '>' ? Want::Is::above
                                  : Want::Is::equal;
    // <= and >= mean the same here: no figure is sure to its last digit.
    const std::size_t from = sign + (want.is != Want::Is::equal && text[sign + 1] == '=' ? 2 : 1);
    const std::string said = trimmed(text.substr(from));
    if (said.empty())
        refuseWant(text, "there is no value", "for example " + want.figure.text + " = 2");
    want.target = valueIn(want, said);
    return want;
}

namespace {

double offAt(const Want& want, double value) {
    const std::string unit = unitOf(want.figure);
    if (unit == "stops") return (value - want.target) / kStopsOff;
    if (unit == "%") return (value - want.target) / std::max(kPointsOff, kShareOff * want.target);
    // Logarithms: halving and doubling are as far, and light against distance is nearly a straight
    // line.
    const double ratio = std::max(value, 1e-9) / want.target;
    return want.figure.name == "reading" ? 2.0 * std::log2(ratio) / kStopsOff
                                         : std::log(ratio) / std::log(1.0 + kShareOff);
}

}  // namespace

double offBy(const Want& want, const Measured& m) {
    return offAt(want, want.is == Want::Is::equal   ? m.value
                       : want.is == Want::Is::below ? m.interval95.high
                                                    : m.interval95.low);
}

double unsureBy(const Want& want, const Measured& m) {
    return 0.5 * std::abs(offAt(want, m.interval95.high) - offAt(want, m.interval95.low));
}

double missOf(const Want& want, double off) {
    if (want.is == Want::Is::below) return std::max(0.0, off);
    if (want.is == Want::Is::above) return std::max(0.0, -off);
    return std::abs(off);
}

bool isReached(const Want& want, double off) {
    if (want.is == Want::Is::equal) return std::abs(off) <= 1.0;
    return want.is == Want::Is::below ? off < 0.0 : off > 0.0;
}

}  // namespace keyfall
