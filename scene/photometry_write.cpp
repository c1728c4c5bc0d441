// A web as LM-63-2019 text. Not here: reading it (photometry_lm63.cpp).
#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <stdexcept>

#include "scene/photometry_file.h"
#include "scene/photometry_unfold.h"

namespace keyfall {

namespace {

constexpr std::size_t kAcross = 10;  // values a line: under 132 columns, the older revisions' limit
constexpr std::size_t kLongestTitle = 100;

/// Nine digits: a web read, written and read again is the same to 1e-9, and 30 degrees stay "30".
std::string number(double value) {
    return fmt::format("{:.9g}", value);
}

double degrees(double radians) {
    return radians * (180.0 / std::numbers::pi);
}

/// Values with blanks between them, in lines that end with CR-LF.
std::string record(const std::vector<double>& values) {
    std::string text;
    for (std::size_t i = 0; i < values.size(); ++i) {
        text += number(values[i]);
        const bool last = i + 1 == values.size();
        text += last || (i + 1) % kAcross == 0 ? "\r\n" : " ";
    }
    return text;
}

/// On one line, of printable ASCII: "lm*s" for "lm·s", one "?" for any other letter.
std::string plain(std::string_view title) {
    constexpr std::string_view kTimes = "·";
    std::string text;
    for (std::size_t i = 0; i < title.size() && text.size() < kLongestTitle; ++i) {
        const auto byte = static_cast<unsigned char>(title[i]);
        if ((byte & 0xc0U) == 0x80U) continue;  // a UTF-8 letter goes on
        const bool printable = byte >= 32 && byte <= 126;
        text += printable ? title[i] : title.substr(i, kTimes.size()) == kTimes ? '*' : '?';
    }
    return text;
}

/// The planes to write: first and last index of the web's.
std::pair<std::size_t, std::size_t> planesToWrite(const PhotometricWeb& web) {
    constexpr double kTiny = 1e-6;
    double low = 0.0, high = 360.0;
    switch (symmetryOf(web)) {
        case WebSymmetry::axial:
            high = 0.0;
            break;
        case WebSymmetry::quadrant:
            high = 90.0;
            break;
        case WebSymmetry::halves:
            high = 180.0;
            break;
        case WebSymmetry::sides:
            low = 90.0;
            high = 270.0;
            break;
        case WebSymmetry::none:
            break;
    }
    std::size_t first = 0, last = 0;
    for (std::size_t i = 0; i < web.horizontal_rad.size(); ++i) {
        if (degrees(web.horizontal_rad[i]) < low - kTiny) first = i + 1;
        if (degrees(web.horizontal_rad[i]) < high + kTiny) last = i;
    }
    return {first, last};
}

void requireStandardAngles(const PhotometricWeb& web) {
    const auto is = [](double angle_rad, double wanted) {
        return std::fabs(degrees(angle_rad) - wanted) < 1e-6;
    };
    const double first = web.vertical_rad.front(), last = web.vertical_rad.back();
    if ((is(first, 0) || is(first, 90)) && (is(last, 90) || is(last, 180))) return;
    throw std::invalid_argument(
        "lm63Text: vertical angles have to go from 0 or 90 to 90 or 180 degrees");
}

}  // namespace

std::string lm63Text(const PhotometricWeb& web, const std::string& title) {
    requireStandardAngles(web);
    const auto [first, last] = planesToWrite(web);
    const std::size_t rows = web.vertical_rad.size();
    std::string text = "IES:LM-63-2019\r\n";
    text += "[TEST] " + plain(title) + "\r\n";
    text += "[TESTLAB] none (computed)\r\n[ISSUEDATE] none\r\n[MANUFAC] none\r\nTILT=NONE\r\n";
    const double sign = web.isRound ? -1.0 : 1.0;
    // 1 lamp, -1: absolute; multiplier 1; type C; metres.
    text += fmt::format("1 -1 1 {} {} 1 2 {} {} {}\r\n", rows, last - first + 1,
                        number(sign * web.opening_m.x), number(sign * web.opening_m.y),
                        number(web.height_m));
    // The twelfth number says in 2019 how the file came to be: 1.0001 is computed (from memory).
    text += fmt::format("1 1.0001 {}\r\n", number(web.watts));
    std::vector<double> angles;
    for (const double v : web.vertical_rad) angles.push_back(degrees(v));
    text += record(angles);
    angles.clear();
    for (std::size_t h = first; h <= last; ++h) angles.push_back(degrees(web.horizontal_rad[h]));
    text += record(angles);
    for (std::size_t h = first; h <= last; ++h) {
        const auto plane = web.intensity_cd.begin() + static_cast<std::ptrdiff_t>(h * rows);
        text += record({plane, plane + static_cast<std::ptrdiff_t>(rows)});
    }
    return text;
}

}  // namespace keyfall
