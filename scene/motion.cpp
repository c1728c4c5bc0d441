#include "scene/motion.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "scene/photo.h"
#include "scene/third_stops.h"

namespace keyfall {

double fullFrameFocalLength_m(double focalLength_m, glm::dvec2 sensor_m) {
    const double fullFrame_m = std::hypot(0.036, 0.024);
    return focalLength_m * fullFrame_m / std::hypot(sensor_m.x, sensor_m.y);
}

double handheldLimit_s(double focalLength_m, glm::dvec2 sensor_m) {
    constexpr double kUsualFloor_s = 1.0 / 60;
    return std::min(1e-3 / fullFrameFocalLength_m(focalLength_m, sensor_m), kUsualFloor_s);
}

bool isTooSlowByHand(double time_s, double limit_s) { return time_s > 1.05 * limit_s; }

double flashCutShare(double shutter_s, double sync_s) {
    return std::clamp(1.0 - shutter_s / sync_s, 0.0, 1.0);
}

namespace {

/// A little more than a third of a stop to either side.
const glm::dvec2 kAround{0.75, 1.35};

/// The step nearest in stops; the number itself where a dial has none.
Engraved nearestStep(const std::vector<Engraved>& steps, double exact) {
    Engraved nearest{exact, exact};
    double least = 1.0;
    for (const Engraved& step : steps) {
        const double off = std::abs(std::log2(step.exact / exact));
        if (off < least) nearest = step, least = off;
    }
    return nearest;
}

}  // namespace

std::string flashCutText(const Camera& c) {
    constexpr double kRounding = 1.001;  // 1/200 engraved and 1/200 written
    if (c.shutter_s.exact * kRounding >= c.flashSync_s) return {};
    const Engraved step = nearestStep(thirdStopShutters(c.flashSync_s * kAround), c.flashSync_s);
    const bool onDial = std::abs(step.exact / c.flashSync_s - 1.0) < 1e-6;  // 1/200 is 1/203.2; 1/180 is itself
    const double sync = 1.0 / (onDial ? step.asWritten : c.flashSync_s);
    return fmt::format("the shutter (1/{:.0f} s) is faster than the flash sync (1/{:.0f} s): it cuts the flash. With a focal-plane shutter "
                       "about {:.0f} % of the frame, at {} of the picture, gets none of it and shows the ambient alone; readings "
                       "here have the flash whole. Set 1/{:.0f} s or slower",
                       1.0 / c.shutter_s.asWritten, sync, 100.0 * flashCutShare(c.shutter_s.exact, c.flashSync_s),
                       c.sensor_m.y > c.sensor_m.x ? "the right" : "the bottom", sync);
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

Engraved nearestIso(double exact) {
    return nearestStep(thirdStopIsos(exact * kAround), exact);
}

}  // namespace keyfall
