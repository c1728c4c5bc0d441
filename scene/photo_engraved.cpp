// Numbers as engraved on lenses and dials, and readings in whole stops and tenths.
// The third-stop series within a range, too.
// Not here: exposure arithmetic (photo.cpp), power notation (photo_power.cpp).
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>
#include <optional>
#include <span>
#include <string>

#include "scene/photo.h"
#include "scene/photo_text.h"
#include "scene/third_stops.h"

namespace keyfall {
namespace {

// Nominal third-stop series in order of k, the first at k = `first`. Apertures: the engraved
// series of lenses (ISO 517); times and speeds from memory. They repeat no simple rounding rule
// (1.2 for 1.26, 3.5 for 3.56, 15 for 16), so they stay tables.
constexpr int kApertureFirst = -6;
constexpr double kAperture[] = {0.5, 0.56, 0.63, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.4, 1.6, 1.8,
                                2.0, 2.2,  2.5,  2.8, 3.2, 3.5, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1,
                                8.0, 9.0,  10.,  11., 13., 14., 16., 18., 20., 22., 25., 29.,
                                32., 36.,  40.,  45., 51., 57., 64., 72., 81., 90.};
constexpr int kFractionFirst = 0;  // 1/n
constexpr double kFraction[] = {1.,    1.3,   1.6,   2.,    2.5,   3.,    4.,    5.,    6.,
                                8.,    10.,   13.,   15.,   20.,   25.,   30.,   40.,   50.,
                                60.,   80.,   100.,  125.,  160.,  200.,  250.,  320.,  400.,
                                500.,  640.,  800.,  1000., 1250., 1600., 2000., 2500., 3200.,
                                4000., 5000., 6400., 8000., 10e3,  12800, 16e3};
constexpr int kSecondsFirst = 1;  // whole and part seconds as dials show them, k = 1 is 2^(1/3)
constexpr double kSeconds[] = {1.3, 1.6, 2.,  2.5, 3.2, 4.,  5., 6.,
                               8.,  10., 13., 15., 20., 25., 30.};
// The dial's decimals for times under a second: 0.8 0.6 0.5 0.4 0.3, k = -1 ...
constexpr int kDecimalsFirst = 1;
constexpr double kDecimals[] = {0.8, 0.6, 0.5, 0.4, 0.3};
constexpr int kIsoFirst = -9;
constexpr double kIso[] = {12.,   16.,   20.,   25.,   32.,   40.,   50.,   64.,   80.,   100.,
                           125.,  160.,  200.,  250.,  320.,  400.,  500.,  640.,  800.,  1000.,
                           1250., 1600., 2000., 2500., 3200., 4000., 5000., 6400., 8000., 10e3,
                           12800, 16e3,  20e3,  25600, 32e3,  40e3,  51200, 64e3,  80e3,  102400};

/// The step k of a nominal number; equal to 1e-9, so that 1/125 computed elsewhere still matches.
std::optional<int> stepOf(double number, std::span<const double> series, int first) {
    const auto same = [number](double n) { return std::abs(number - n) <= 1e-9 * n; };
    const auto found = std::find_if(series.begin(), series.end(), same);
    if (found == series.end()) return {};
    return first + static_cast<int>(found - series.begin());
}

/// Name of the whole stop f = 2^(stop/2): "5.6", "11"; past the engraved series two digits.
std::string wholeStopName(int stop) {
    const int index = 3 * stop - kApertureFirst;
    const bool engraved = index >= 0 && index < static_cast<int>(std::size(kAperture));
    const double exact = std::exp2(stop / 2.0);
    if (engraved) return shortNumber(kAperture[static_cast<std::size_t>(index)], 3);
    const double unit = std::pow(10.0, std::floor(std::log10(exact)) - 1.0);
    return shortNumber(std::round(exact / unit) * unit, 6);
}

}  // namespace

Engraved engravedAperture(double asWritten) {
    const auto k = stepOf(asWritten, kAperture, kApertureFirst);
    return {asWritten, k ? std::exp2(*k / 6.0) : asWritten};
}

Engraved engravedShutter(double asWritten_s) {
    if (const auto k = stepOf(1.0 / asWritten_s, kFraction, kFractionFirst))
        return {asWritten_s, std::exp2(-*k / 3.0)};
    if (const auto k = stepOf(asWritten_s, kSeconds, kSecondsFirst))
        return {asWritten_s, std::exp2(*k / 3.0)};
    if (asWritten_s == 3.0) return {asWritten_s, std::exp2(5.0 / 3.0)};  // some dials say 3 for 3.2
    if (const auto k = stepOf(asWritten_s, kDecimals, kDecimalsFirst))
        return {asWritten_s, std::exp2(-*k / 3.0)};
    return {asWritten_s, asWritten_s};
}

Engraved engravedIso(double asWritten) {
    const auto k = stepOf(asWritten, kIso, kIsoFirst);
    return {asWritten, k ? 100.0 * std::exp2(*k / 3.0) : asWritten};
}

// N^2 = 2^(stop + tenths/10): rounding happens once, on all the tenths, so that 7.96 carries to the
// next whole stop instead of becoming "10/10".
std::string apertureReading(double aperture) {
    if (!(aperture > 0.0) || !std::isfinite(aperture)) return "no light";
    const long tenths = std::lround(10.0 * apexAperture(aperture));
    const long stop = tenths >= 0 ? tenths / 10 : (tenths - 9) / 10;
    const long rest = tenths - 10 * stop;
    const std::string name = wholeStopName(static_cast<int>(stop));
    return rest == 0 ? fmt::format("f/{}", name) : fmt::format("f/{} {}/10", name, rest);
}

std::optional<double> parseApertureReading(std::string_view text) {
    text = trimmed(text);
    if (text.substr(0, 2) == "f/" || text.substr(0, 2) == "F/") text.remove_prefix(2);
    double tenths = 0.0;
    if (const auto gap = text.find(' '); gap != std::string_view::npos) {
        std::string_view rest = trimmed(text.substr(gap));
        if (rest.size() != 4 || rest.substr(1) != "/10" || rest[0] < '0' || rest[0] > '9')
            return {};
        tenths = rest[0] - '0';
        text = text.substr(0, gap);
    }
    const auto number = parseNumber(text);
    if (!number || !(*number > 0.0)) return {};
    return engravedAperture(*number).exact * std::exp2(tenths / 20.0);
}

namespace {

/// Those of a range; 1e-6: both ends belong to it, whatever the last bit says.
std::vector<Engraved> sortedWithin(std::vector<Engraved> all, glm::dvec2 range) {
    std::erase_if(all, [range](const Engraved& e) {
        return e.exact < range.x * (1.0 - 1e-6) || e.exact > range.y * (1.0 + 1e-6);
    });
    std::sort(all.begin(), all.end(), [](const Engraved& a, const Engraved& b) { return a.exact < b.exact; });
    return all;
}

}  // namespace

std::vector<Engraved> thirdStopApertures(glm::dvec2 range) {
    std::vector<Engraved> all;
    for (const double n : kAperture) all.push_back(engravedAperture(n));
    return sortedWithin(all, range);
}

std::vector<Engraved> thirdStopShutters(glm::dvec2 range_s) {
    std::vector<Engraved> all{engravedShutter(1.0)};
    for (const double n : kFraction)
        if (n >= 4.0) all.push_back(engravedShutter(1.0 / n));
    for (const double t_s : kDecimals) all.push_back(engravedShutter(t_s));
    for (const double t_s : kSeconds) all.push_back(engravedShutter(t_s));
    return sortedWithin(all, range_s);
}

std::vector<Engraved> thirdStopIsos(glm::dvec2 range) {
    std::vector<Engraved> all;
    for (const double s : kIso) all.push_back(engravedIso(s));
    return sortedWithin(all, range);
}

std::optional<double> parseTime_s(std::string_view text) {
    text = trimmed(text);
    const auto fraction = parseFraction(text);
    if (!fraction || !(*fraction > 0.0)) return {};
    return fraction;
}

}  // namespace keyfall
