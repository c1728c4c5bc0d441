#include "report_motion.h"

#include <fmt/core.h>

#include <cmath>

#include "json_numbers.h"
#include "renderer/meter/ambient.h"
#include "report_exposure.h"
#include "scene/motion.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

/// What the exposure is for camera and subject.
struct Motion {
    double limit_s = 0.0;               ///< of the hand
    Drawing drawing;
    bool shaken = false;                ///< too slow for the hand
    std::optional<double> blur_m;       ///< on the sensor; empty: no speed given, or no time
    std::optional<double> ghost_m;      ///< by the ambient while the shutter is open
};

Motion motionOf(const Report& report) {
    const Camera& c = report.scene.camera;
    Motion m;
    m.limit_s = handheldLimit_s(c.focalLength_m, c.sensor_m);
    m.drawing = drawingOf(flashDominates(report), anyContinuousOn(report.scene), longestFlash_s(report.scene), c.shutter_s.exact);
    m.shaken = isShaken(m.drawing, m.limit_s);
    if (!report.scene.motion_mps) return m;
    const double magnified = magnification(c.focalLength_m, c.focusDistance_m);
    if (m.drawing.time_s) m.blur_m = imageBlur_m(*report.scene.motion_mps, magnified, *m.drawing.time_s);
    if (m.drawing.ghost_s) m.ghost_m = imageBlur_m(*report.scene.motion_mps, magnified, *m.drawing.ghost_s);
    return m;
}

double picturePixels(const Scene& s, double onSensor_m) { return onSensor_m / s.camera.sensor_m.x * s.picture.width_px; }
double sensorPixels(const Scene& s, double onSensor_m) {
    return onSensor_m / s.camera.sensor_m.x * s.camera.electronics.pixels.x;
}

std::string secondsText(double t_s) { return t_s < 0.3 ? fmt::format("1/{:.0f} s", 1.0 / t_s) : fmt::format("{:.3g} s", t_s); }

/// The exact speed at which the shutter comes down to the hand's limit. Empty: flash and continuous light
/// are both on, and no probe says how much of each the subject gets.
std::optional<double> isoForHand(const Report& report, double limit_s) {
    const Scene& scene = report.scene;
    const Camera& c = scene.camera;
    const ProbeReading* subject = subjectOf(report);
    if (!anyFlashOn(scene)) return isoAtTime(c.iso.exact, c.shutter_s.exact, limit_s, 0.0, 1.0);
    if (subject == nullptr) return {};
    return isoAtTime(c.iso.exact, c.shutter_s.exact, limit_s, flashExposure(scene, *subject).mean(), ambientExposure(scene, *subject).mean());
}

/// What speed would do by hand, "ISO 640": the third stop, not lower; `before` stands in front of it.
std::string handIsoText(const Report& report, double limit_s, const char* before) {
    const auto wanted = isoForHand(report, limit_s);
    if (!wanted) return {};
    const auto& limits = report.scene.limits.iso;
    const double highest = limits ? limits->y : kHighestDialIso * 1.001;
    if (*wanted > highest * 1.05)
        return fmt::format("; no ISO up to {:.0f} makes that possible", limits ? engravedIso(limits->y).asWritten : kHighestDialIso);
    const Engraved nearest = nearestIso(*wanted);
    const double iso = nearest.exact >= *wanted / 1.05 ? nearest.asWritten : nearestIso(*wanted * std::exp2(1.0 / 6)).asWritten;
    return fmt::format("{}ISO {:.0f}", before, iso);
}

std::string blurText(const Scene& s, double onSensor_m) {
    return fmt::format("{:.1f} px of the picture, {:.1f} px of the sensor", picturePixels(s, onSensor_m), sensorPixels(s, onSensor_m));
}

std::string subjectLine(const Report& report, const Motion& m) {
    const Scene& s = report.scene;
    if (!s.motion_mps) return {};
    std::string line = fmt::format("{:14} at {:g} cm/s the subject ", "motion", *s.motion_mps * 100.0);
    if (!m.blur_m) return line + "is frozen by the flash; no lamp says how short that is (t05)\n";
    line += fmt::format("smears over {} in {} of {}", blurText(s, *m.blur_m), secondsText(*m.drawing.time_s), m.drawing.flash ? "flash" : "shutter");
    if (m.ghost_m) line += fmt::format("; the ambient draws a ghost over {:.1f} px of the picture", picturePixels(s, *m.ghost_m));
    return line + "\n";
}

std::string shakeLine(const Report& report, const Motion& m) {
    if (!m.shaken || report.scene.camera.support == Support::hand) return {};  // by hand: a warning
    return fmt::format("{:14} {} wants the tripod and a remote release; by hand the usual limit is {}{}\n", "shake",
                       shutterText(report.scene.camera.shutter_s.asWritten), secondsText(m.limit_s), handIsoText(report, m.limit_s, ", at "));
}

// --- Video ---

struct VideoFrame {
    double exposure_s = 0.0;
    Flicker flicker;
    const ProbeReading* probe = nullptr;
    bool lit = false;                        ///< any continuous light is on
    std::optional<Measured> fromStill_stops;
};

VideoFrame videoOf(const Report& report) {
    const Scene& scene = report.scene;
    VideoFrame v{videoExposure_s(*scene.video), flickerOf(*scene.video), subjectOf(report), anyContinuousOn(scene), {}};
    if (v.lit && v.probe != nullptr) v.fromStill_stops = continuousStops(scene, *v.probe, v.exposure_s);
    return v;
}

Json videoJson(const Report& report) {
    const Scene& scene = report.scene;
    const VideoFrame v = videoOf(report);
    Json j = {{"fps", scene.video->fps},
              {"shutter_angle_deg", scene.video->shutterAngle_deg},
              {"exposure_s", v.exposure_s},
              {"mains_hz", scene.video->mains_Hz},
              {"flicker_periods", v.flicker.periods},
              {"flicker_safe", v.flicker.safe},
              {"flicker_worst_stops", number(v.flicker.worst_stops)},
              {"safe_angle_deg", v.flicker.safeAngle_deg ? Json(*v.flicker.safeAngle_deg) : Json(nullptr)},
              {"probe", v.probe != nullptr ? Json(v.probe->name) : Json(nullptr)}};
    put(j, "stops_from_still", v.fromStill_stops);
    const bool known = v.fromStill_stops.has_value();
    const SameLook same = sameLook(known ? v.fromStill_stops->value : 0.0, scene.camera.iso.exact, scene.camera.aperture.exact);
    j["same_look"] = known ? Json{{"iso", nearestIso(same.iso).asWritten}, {"iso_exact", same.iso}, {"aperture_exact", same.aperture}, {"power_stops", same.power_stops}}
                           : Json(nullptr);
    return j;
}

/// Power is offered where no lamp has to give more than it has.
bool lampsCan(const Scene& scene, double stops) {
    for (const Light& l : scene.lights)
        if (l.kind == LightKind::continuous && l.strength() > 0.0 && l.power_stops + stops > 0.0) return false;
    return !(scene.room && scene.room->ambientIlluminance_lx > 0.0);  // a room has no dimmer
}

std::string sameLookText(const Scene& scene, double stops) {
    const SameLook same = sameLook(stops, scene.camera.iso.exact, scene.camera.aperture.exact);
    const double iso = nearestIso(same.iso).asWritten;
    std::string text = fmt::format("ISO {:.0f}, or {}", iso, apertureReading(same.aperture));
    if (iso < scene.camera.electronics.baseIso)
        text = fmt::format("a neutral density filter of {:.1f} stops, or {}", stops, apertureReading(same.aperture));
    if (lampsCan(scene, same.power_stops)) text += fmt::format(", or all continuous lamps {:+.1f} stops", same.power_stops);
    return text;
}

std::string videoLine(const Report& report) {
    const Scene& scene = report.scene;
    if (!scene.video) return {};
    const VideoFrame v = videoOf(report);
    std::string line = fmt::format("{:14} {:g} fps, {:g} degrees: {} a frame", "video", scene.video->fps, scene.video->shutterAngle_deg, secondsText(v.exposure_s));
    if (v.fromStill_stops) {
        const Measured& s = *v.fromStill_stops;
        line += fmt::format("; {:.1f} ± {:.2f} stops {} the still at {}. The still's look: {}", std::abs(s.value), s.interval95.half(),
                            s.value >= 0.0 ? "over" : "under", v.probe->name, sameLookText(scene, s.value));
    }
    return line + (anyFlashOn(scene) ? ". Flash lamps give no light in video\n" : "\n");
}

void warnOfVideo(const Report& report, std::vector<Warning>& warnings) {
    const VideoFrame v = videoOf(report);
    if (!v.lit) {
        warnings.push_back({"video-without-light", "no continuous light is on, and flash lamps give none in video: every frame is black"});
        return;
    }
    if (!v.fromStill_stops)
        warnings.push_back({"video-not-read", "no incident or dome probe found enough continuous light to set the video against the still"});
    if (v.flicker.safe) return;
    const std::string way = v.flicker.safeAngle_deg ? fmt::format("the next safe shutter angle is {:.1f} degrees", *v.flicker.safeAngle_deg)
                                                    : std::string("no shutter angle is safe at this frame rate");
    const std::string size = std::isfinite(v.flicker.worst_stops) ? fmt::format("by up to {:.2f} stop", v.flicker.worst_stops) : std::string("down to black");
    warnings.push_back({"flicker", fmt::format("a frame of {} holds {:.2f} pulses of {:g} Hz mains: lamps that pulse with it flicker or band, {}; {}. "
                                               "Lamps with an even current do not",
                                               secondsText(v.exposure_s), v.flicker.periods, report.scene.video->mains_Hz, size, way)});
}

}  // namespace

void putMotion(Json& json, const Report& report) {
    const Scene& scene = report.scene;
    if (!scene.hasCamera) return;
    const Motion m = motionOf(report);
    const auto maybe = [](const std::optional<double>& x) { return x ? number(*x) : Json(nullptr); };
    Json j = {{"support", scene.camera.support == Support::hand ? "hand" : "tripod"},
              {"handheld_limit_s", m.limit_s},
              {"remote_release", m.shaken},
              {"effective_time_s", maybe(m.drawing.time_s)},
              {"effective_time", m.drawing.flash ? "flash" : "shutter"}};
    if (scene.motion_mps) {
        const auto pixels = [&](double (*of)(const Scene&, double)) { return m.blur_m ? number(of(scene, *m.blur_m)) : Json(nullptr); };
        j["speed_cm_s"] = *scene.motion_mps * 100.0;
        j["blur_mm"] = m.blur_m ? number(*m.blur_m * 1e3) : Json(nullptr);
        j["blur_px"] = pixels(picturePixels);
        j["blur_sensor_px"] = pixels(sensorPixels);
        if (m.ghost_m) j["ghost_px"] = picturePixels(scene, *m.ghost_m);
    }
    json["motion"] = j;
    if (scene.video) json["video"] = videoJson(report);
}

std::string motionLines(const Report& report) {
    if (!report.scene.hasCamera) return {};
    const Motion m = motionOf(report);
    return shakeLine(report, m) + subjectLine(report, m) + videoLine(report);
}

std::vector<Warning> motionWarnings(const Report& report) {
    std::vector<Warning> warnings;
    const Scene& scene = report.scene;
    if (!scene.hasCamera) return warnings;
    const Motion m = motionOf(report);
    if (m.shaken && scene.camera.support == Support::hand)
        warnings.push_back({"handheld-too-slow", fmt::format("{} by hand is slower than {}, the usual limit for this lens: a tripod and a remote release{}",
                                                             shutterText(scene.camera.shutter_s.asWritten), secondsText(m.limit_s), handIsoText(report, m.limit_s, ", or "))});
    if (scene.motion_mps && m.drawing.flash && !m.drawing.time_s)
        warnings.push_back({"flash-duration-unknown", "no flash lamp that is on says how long it lasts (t05): the blur of the moving subject is missing, not 0"});
    if (scene.video) warnOfVideo(report, warnings);
    return warnings;
}

}  // namespace keyfall
