#include "scene/motion.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "scene/photo.h"

namespace keyfall {

double fullFrameFocalLength_m(double focalLength_m, glm::dvec2 sensor_m) {
    const double fullFrame_m = std::hypot(0.036, 0.024);
    return focalLength_m * fullFrame_m / std::hypot(sensor_m.x, sensor_m.y);
}

double handheldLimit_s(double focalLength_m, glm::dvec2 sensor_m) {
    constexpr double kUsualFloor_s = 1.0 / 60;
    return std::min(1e-3 / fullFrameFocalLength_m(focalLength_m, sensor_m), kUsualFloor_s);
}

double flashCutShare(double shutter_s, double sync_s) {
    return std::clamp(1.0 - shutter_s / sync_s, 0.0, 1.0);
}

namespace {

/// The dial's number of an exact time under a second: 200 for 1/203.2.
double dialNumber(double exact_s) {
    for (const double n : {15.0, 20.0, 30.0, 40.0, 60.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 320.0, 400.0, 500.0, 640.0})
        if (std::abs(engravedShutter(1.0 / n).exact / exact_s - 1.0) < 1e-6) return n;
    return 1.0 / exact_s;
}

}  // namespace

std::string flashCutText(const Camera& c) {
    constexpr double kRounding = 1.001;  // 1/200 engraved and 1/200 written
    if (c.shutter_s.exact * kRounding >= c.flashSync_s) return {};
    const double sync = dialNumber(c.flashSync_s);
    return fmt::format("the shutter (1/{:.0f} s) is faster than the flash sync (1/{:.0f} s): it cuts the flash. With a focal-plane shutter "
                       "about {:.0f} % of the frame's height gets none of it and shows the ambient alone; picture and readings here "
                       "have the flash whole. Set 1/{:.0f} s or slower",
                       1.0 / c.shutter_s.asWritten, sync, 100.0 * flashCutShare(c.shutter_s.exact, c.flashSync_s), sync);
}

std::optional<double> flashDuration_s(const Light& light) {
    return flashDuration_s(light.t05_s, light.t05Lowest_s, light.lowestPower_stops, light.power_stops);
}

std::optional<double> flashDuration_s(std::optional<double> full_s, std::optional<double> lowest_s,
                                      std::optional<double> lowestPower_stops, double power_stops) {
    if (!full_s) return lowest_s;
    if (!lowest_s || !lowestPower_stops || !(*lowestPower_stops < 0.0)) return full_s;
    const double share = std::clamp(power_stops / *lowestPower_stops, 0.0, 1.0);
    return *full_s * std::pow(*lowest_s / *full_s, share);
}

double imageBlur_m(double speed_mps, double magnification, double time_s) {
    return magnification * speed_mps * time_s;
}

double videoExposure_s(const Video& video) {
    return video.shutterAngle_deg / 360.0 / video.fps;
}

// The light of a pulse is 1 + cos(2 pi f t) with f twice the mains. Integrated over n periods from any
// start, its varying part is at most sin(pi n)/(pi n) of the constant one.
Flicker flickerOf(const Video& video) {
    const double pulses_Hz = 2.0 * video.mains_Hz;
    Flicker f;
    f.periods = videoExposure_s(video) * pulses_Hz;
    f.safe = f.periods > 0.5 && std::abs(f.periods - std::round(f.periods)) <= kFlickerTolerance;
    const double turn = std::numbers::pi * f.periods;
    const double swing = std::abs(std::sin(turn)) / turn;
    f.worst_stops = swing < 1.0 ? std::log2((1.0 + swing) / (1.0 - swing)) : std::numeric_limits<double>::infinity();
    const double most = std::floor(pulses_Hz / video.fps + 1e-9);
    if (most < 1.0) return f;
    const double nearest = std::ceil(f.periods - 0.5);  // half way between two: the shorter exposure
    f.safeAngle_deg = 360.0 * video.fps * std::clamp(nearest, 1.0, most) / pulses_Hz;
    return f;
}

SameLook sameLook(double stops, double iso, double aperture) {
    return {iso * std::exp2(-stops), aperture * std::exp2(0.5 * stops), -stops};
}

// Engraved numbers repeat by decades, but for the doublings from 12 800 on.
Engraved nearestIso(double exact) {
    constexpr std::array kNumbers{10.0, 12.5, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 64.0, 80.0};
    constexpr std::array kDoublings{12.0, 12800.0, 25600.0, 51200.0, 102400.0};
    const double step = 100.0 * std::exp2(std::round(3.0 * std::log2(exact / 100.0)) / 3.0);
    const auto names = [step](double n) { return std::abs(engravedIso(n).exact / step - 1.0) < 1e-6; };
    for (const double n : kDoublings)
        if (names(n)) return engravedIso(n);
    for (double decade = 1.0; decade < 1e5; decade *= 10.0)
        for (const double n : kNumbers)
            if (names(n * decade)) return engravedIso(n * decade);
    return {step, step};
}

}  // namespace keyfall
