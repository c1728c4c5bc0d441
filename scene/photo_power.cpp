// Power of a lamp as written on packs and heads, in stops under full; small number texts.
// Not here: f-numbers and times (photo_engraved.cpp).
#include <fmt/format.h>
#include <charconv>
#include <cmath>
#include <limits>

#include "scene/photo.h"
#include "scene/photo_text.h"

namespace keyfall {

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view kSpace = " \t\r\n";
    const auto first = text.find_first_not_of(kSpace);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(kSpace) - first + 1);
}

std::optional<double> parseNumber(std::string_view text) {
    text = trimmed(text);
    if (text.size() > 1 && text[0] == '+' && text[1] != '-' && text[1] != '+')
        text.remove_prefix(1);
    double value = 0.0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (problem != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
        return {};
    return value;
}

std::optional<double> parseFraction(std::string_view text) {
    const auto slash = text.find('/');
    if (slash == std::string_view::npos) return parseNumber(text);
    const auto top = parseNumber(text.substr(0, slash));
    const auto bottom = parseNumber(text.substr(slash + 1));
    if (!top || !bottom || !(*bottom > 0.0)) return {};
    return *top / *bottom;
}

std::string shortNumber(double value, int digits) {
    return fmt::format("{:.{}g}", value, digits);
}

namespace {

constexpr std::string_view kAllowed =
    "write a share of full power such as 0.5, '1/4', '1/4+0.3', '60%' or '-1.3 stops'";

PowerOrError wrong(std::string_view text, std::string_view why) {
    return {0.0, fmt::format("power '{}' {}", text, why)};
}

/// Refuses what is above full; `share` is of the light, `stops` are added.
PowerOrError checked(std::string_view text, double share, double stops) {
    if (share < 0.0)
        return wrong(
            text, fmt::format("is negative; {}; stops under full need the word 'stops'", kAllowed));
    const double total =
        share == 0.0 ? -std::numeric_limits<double>::infinity() : std::log2(share) + stops;
    // 1e-9: "1/2+1" is full, whatever the last bit says.
    if (total > 1e-9)
        return wrong(text,
                     "is more than full; some lamps show stops as 1-10: write '1/8' or "
                     "'-3 stops'");
    return {std::min(total, 0.0), {}};
}

/// Removes `ending` (and spaces before it) from the text; false when it is not there.
bool takeEnding(std::string_view& text, std::string_view ending) {
    if (text.size() < ending.size() || text.substr(text.size() - ending.size()) != ending)
        return false;
    text = trimmed(text.substr(0, text.size() - ending.size()));
    return true;
}

}  // namespace

PowerOrError parsePower(std::string_view written) {
    std::string_view text = trimmed(written);
    const PowerOrError notUnderstood =
        wrong(written, fmt::format("is not understood; {}", kAllowed));
    if (takeEnding(text, "%")) {
        const auto percent = parseNumber(text);
        return percent ? checked(written, *percent / 100.0, 0.0) : notUnderstood;
    }
    if (takeEnding(text, "stops") || takeEnding(text, "stop")) {
        const auto stops = parseNumber(text);
        return stops ? checked(written, 1.0, *stops) : notUnderstood;
    }
    // "1/4+0.3": a sign after the fraction starts the stops.
    const auto slash = text.find('/');
    const auto sign = slash == std::string_view::npos ? slash : text.find_first_of("+-", slash + 1);
    double stops = 0.0;
    if (sign != std::string_view::npos) {
        const std::string_view after = trimmed(text.substr(sign + 1));
        const auto tail = parseNumber(after);
        if (!tail || after.find_first_of("+-") == 0) return notUnderstood;
        stops = text[sign] == '-' ? -*tail : *tail;
        text = text.substr(0, sign);
    }
    const auto share = parseFraction(text);
    return share ? checked(written, *share, stops) : notUnderstood;
}

// The whole fraction at or below, and what is above it: -1.7 = 1/4 + 0.3. Thousandths of a stop are
// kept, so that 60 % ("1/2+0.263") does not turn into another power.
std::string canonicalPower(double stops) {
    if (std::isinf(stops) && stops < 0.0) return "0";
    const double rounded = std::round(stops * 1000.0) / 1000.0;
    const double whole = std::min(std::floor(rounded), 0.0);
    if (whole < -52.0) return fmt::format("{:.6g} stops", rounded);
    const double rest = std::round((rounded - whole) * 1000.0) / 1000.0;
    const double fraction = std::exp2(-whole);
    if (rest <= 0.0) return fmt::format("1/{:.0f}", fraction);
    return fmt::format("1/{:.0f}+{:.6g}", fraction, rest);
}

}  // namespace keyfall
