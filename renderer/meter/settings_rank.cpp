#include "renderer/meter/settings_rank.h"

#include <algorithm>
#include <cmath>

#include "renderer/meter/settings_costs.h"
#include "scene/motion.h"

namespace keyfall {
namespace {

constexpr double kSnrPerStop_dB = 3.0102999566398120;    // shot noise: half the light is 1/sqrt(2) of SNR
constexpr double kNoAmbient_stops = -7.0;  // under 1 % of the light
constexpr double kStillOnTripod_s = 1.0;   // common practice, no source
constexpr double kStepOfBlur = 0.5;        // octaves of blur to a stop of f-number
constexpr int kAllSoft = 2;                // diffraction takes the focused plane as well
constexpr double kAiryPixels = 2.5;        // of a colour mosaic; common practice, no source
/// Just under one stop, so that a full-stop series is told apart whatever the last bit says.
constexpr std::array<double, kMeasures> kNoticeable = {0.45, 0.9, 0.9, 0.9, 0.45};

constexpr std::size_t at(Limits::Prefer p) {
    return static_cast<std::size_t>(p);
}

int stepsAbove(double value) {
    return std::max(0, static_cast<int>(std::ceil(value - 1e-6)));
}

/// Octaves of blur over the circle of confusion; without a subject, of what the focused plane's
/// surroundings lose against a depth as large as the distance.
double depthMeasure(const SettingsInput& input, const Setting& s) {
    const double circle_m = input.camera.circleOfConfusion_m;
    if (input.subject_m) return std::log2(std::max(1.0, s.costs.worstBlur_m / circle_m));
    const double depth_m = std::min(s.costs.depth_m, input.camera.focusDistance_m);
    return std::log2(input.camera.focusDistance_m / depth_m * std::max(1.0, s.costs.airy_m / circle_m));
}

/// The longest time at which nothing that is known of moves a pixel.
double freeTime_s(const SettingsInput& input, const Setting& s) {
    const bool byHand = input.camera.support == Support::hand;
    double free_s =
        byHand ? handheldLimit_s(input.camera.focalLength_m, input.camera.sensor_m) : kStillOnTripod_s;
    if (s.costs.motion_px && *s.costs.motion_px > 0.0)
        free_s = std::min(free_s, s.costs.lightTime_s / *s.costs.motion_px);
    return free_s;
}

double pixelPitch_m(const Camera& c) {
    return c.sensor_m.x / c.electronics.pixels.x;
}

/// Equal to a millionth of a stop is equal: ties go on to the next measure.
double rounded(double x) {
    return std::round(x * 1e6) * 1e-6;
}

/// What the order compares, one after the other.
std::vector<double> orderKey(const SettingsInput& input, const std::vector<Limits::Prefer>& prefer,
                             const Setting& s) {
    const Measures m = measuresOf(input, s);
    std::vector<double> key{isExact(s) ? 0.0 : 1.0, rounded(belowBase_stops(input.camera, s.iso.exact))};
    for (const Limits::Prefer p : prefer) key.push_back(m.grade[at(p)]);
    for (const Limits::Prefer p : prefer) key.push_back(rounded(m.fine[at(p)]));
    for (const Limits::Prefer p : prefer) key.push_back(rounded(m.raw[at(p)]));
    key.push_back(std::floor(m.raw[kPreferences] / kNoticeable[kPreferences]));
    key.push_back(isExact(s) ? 0.0 : std::round(std::abs(s.stopsOver) * 10.0));
    key.push_back(changedOf(input, s).count());
    key.push_back(rounded(std::abs(s.stopsOver)));
    return key;
}

/// False when `row` is noticeably better than `kept` in something.
bool covers(const Measures& kept, const Measures& row) {
    for (std::size_t i = 0; i < kMeasures; ++i)
        if (row.raw[i] < kept.raw[i] - kNoticeable[i]) return false;
    return true;
}

bool same(double a, double b) {
    return std::abs(a - b) <= 1e-9 * std::abs(b);
}

}  // namespace

Measures measuresOf(const SettingsInput& input, const Setting& s) {
    using Prefer = Limits::Prefer;
    Measures m;
    const double depth = depthMeasure(input, s);
    m.grade[at(Prefer::depth)] = static_cast<int>(std::floor(depth / kStepOfBlur + 1e-6));
    if (s.costs.airy_m > input.camera.circleOfConfusion_m) m.grade[at(Prefer::depth)] += kAllSoft;
    m.fine[at(Prefer::depth)] = m.raw[at(Prefer::depth)] = depth;
    // Below the base ISO the raw ends nearer: that buys no picture, so its signal counts as the base ISO's.
    const double snr_dB = std::min(s.costs.snr_dB, snrOfGrey_dB(input, input.camera.electronics.baseIso));
    m.grade[at(Prefer::grain)] = stepsAbove((kExcellentSnr_dB - snr_dB) / kSnrPerStop_dB);
    m.fine[at(Prefer::grain)] = m.raw[at(Prefer::grain)] = -snr_dB / kSnrPerStop_dB;
    const double free_s = freeTime_s(input, s);
    const double over = std::log2(s.costs.lightTime_s / free_s);
    m.grade[at(Prefer::blur)] = stepsAbove(over);
    m.fine[at(Prefer::blur)] = std::max(0.0, over);
    m.raw[at(Prefer::blur)] = std::log2(
        std::max(s.costs.lightTime_s,
                 std::min(free_s, handheldLimit_s(input.camera.focalLength_m, input.camera.sensor_m))));
    if (s.costs.ambient_stops) {
        m.grade[at(Prefer::ambient)] = stepsAbove(*s.costs.ambient_stops - kUnseenAmbient_stops);
        m.fine[at(Prefer::ambient)] = m.raw[at(Prefer::ambient)] =
            std::max(kNoAmbient_stops, *s.costs.ambient_stops);
    }
    m.raw[kPreferences] =
        std::log2(std::max(1.0, s.costs.airy_m / (kAiryPixels * pixelPitch_m(input.camera))));
    return m;
}

std::vector<Limits::Prefer> preferenceOf(const Limits& limits) {
    using Prefer = Limits::Prefer;
    std::vector<Prefer> order;
    const auto add = [&](Prefer p) {
        if (std::find(order.begin(), order.end(), p) == order.end()) order.push_back(p);
    };
    for (const Prefer p : limits.prefer) add(p);
    for (const Prefer p : {Prefer::depth, Prefer::blur, Prefer::grain, Prefer::ambient}) add(p);
    return order;
}

std::vector<Setting> rankedSettings(const SettingsInput& input, std::vector<Setting> settings,
                                    std::size_t rows) {
    const std::vector<Limits::Prefer> prefer = preferenceOf(input.limits);
    std::vector<std::pair<std::vector<double>, std::size_t>> order;
    for (std::size_t i = 0; i < settings.size(); ++i)
        order.emplace_back(orderKey(input, prefer, settings[i]), i);
    std::sort(order.begin(), order.end());
    std::vector<Setting> kept;
    std::vector<Measures> measures;
    for (const auto& [key, index] : order) {
        if (kept.size() == rows) break;
        const Measures m = measuresOf(input, settings[index]);
        if (std::any_of(measures.begin(), measures.end(),
                        [&](const Measures& above) { return covers(above, m); }))
            continue;
        measures.push_back(m);
        kept.push_back(std::move(settings[index]));
    }
    return kept;
}

int Changed::count() const {
    const bool lamps = std::find(power.begin(), power.end(), true) != power.end();
    return int{aperture} + int{shutter} + int{iso} + int{focus} + int{lamps};
}

Changed changedOf(const SettingsInput& input, const Setting& s) {
    Changed c;
    c.aperture = !same(s.aperture.exact, input.camera.aperture.exact);
    c.shutter = !same(s.shutter_s.exact, input.camera.shutter_s.exact);
    c.iso = !same(s.iso.exact, input.camera.iso.exact);
    c.focus = s.refocus_m.has_value();
    for (std::size_t l = 0; l < input.lights.size(); ++l)
        c.power.push_back(std::abs(s.power_stops[l] - input.lights[l].power_stops) > 1e-6);
    return c;
}

}  // namespace keyfall
