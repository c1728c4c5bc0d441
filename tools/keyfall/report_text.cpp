// The report as lines for people: the trade's words, every figure with what it is sure to.
#include <fmt/core.h>

#include <cmath>

#include "renderer/photograph/exposure.h"
#include "report.h"
#include "report_sharp.h"
#include "report_colour.h"
#include "report_edges.h"
#include "report_frame.h"
#include "report_exposure.h"
#include "report_motion.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

std::string overUnder(double stops, const char* over, const char* under) {
    return fmt::format("{:.1f} {}", std::abs(stops), stops >= 0.0 ? over : under);
}

/// Half a reading's interval in stops of light.
double half_stops(const Measured& stops) { return stops.interval95.half(); }

std::string fluxText(const ProbeReading& r) {
    const bool spot = r.probe->kind == ProbeKind::spot;
    if (r.continuous.mean() > 0.0 && r.continuous.mean() * 1e-9 >= r.exposure.mean()) return {};
    const Measured e = measured(r.exposure);
    std::string text = fmt::format("{:.4g} {}", e.value, spot ? "cd·s/m²" : "lx·s");
    if (r.continuous.mean() > 0.0)
        text += fmt::format(" ({:.4g} {} continuous)", r.continuous.mean(), spot ? "cd/m²" : "lx");
    return text;
}

std::string probeLine(const Report& report, const ProbeReading& r) {
    const char* kinds[] = {"incident", "dome", "spot"};
    std::string line = fmt::format("{:14} {:9}", r.name, kinds[static_cast<int>(r.probe->kind)]);
    if (!r.aperture) return line + (r.missing ? "no reading: too little light found\n" : "no light is on\n");
    line += fmt::format("{:11} ± {:.2f} stop", apertureReading(r.aperture->value), half_stops(*r.stopsOver));
    if (!report.scene.hasCamera) {
        // Over, under and close-up are the camera's: the file wrote none.
    } else if (r.probe->kind == ProbeKind::spot) {
        line += "   " + overUnder(r.pictureStopsOver->value, "stops over", "stops under") + " 18 % grey in the picture";
    } else {
        line += fmt::format("   meter {} the set f/{:g}; picture {}", overUnder(r.stopsOver->value, "over", "under"),
                            report.scene.camera.aperture.asWritten,
                            overUnder(r.pictureStopsOver->value, "over", "under"));
        if (r.closeUp_stops < -0.05) line += fmt::format(" (close-up {:.1f})", -r.closeUp_stops);
    }
    return line + "   " + fluxText(r) + "\n";
}

std::string byLightLine(const ProbeReading& r) {
    if (r.byLight.size() < 2 || !(r.exposure.mean() > 0.0)) return {};
    std::string line = fmt::format("{:14} by light ", "");
    for (const LightShare& s : r.byLight)
        line += fmt::format("  {} {:.1f} ± {:.1f} %", s.light, s.share_percent.value, s.share_percent.interval95.half());
    return line + "\n";
}

std::string boardLines(const ProbeReading& r) {
    std::string lines;
    for (const BoardShare& b : r.byBoard) {
        if (!b.lifts_stops) continue;
        const double without = r.aperture->value / std::exp2(0.5 * b.lifts_stops->value);
        lines += fmt::format("{:14} without card {}: {}; the card lifts it {:+.2f} ± {:.2f} stop ({:.1f} % of its light)\n",
                             "", b.board, apertureReading(without), b.lifts_stops->value,
                             half_stops(*b.lifts_stops), b.share_percent.value);
    }
    return lines;
}

std::string ratioLine(const RatioReading& r) {
    std::string line = fmt::format("{} : {}   {:.2f} ± {:.2f} stops between the readings = (key+fill):fill {:.2g}:1; key:fill {:.2g}:1",
                                   r.lit, r.shadow, r.stops.value, half_stops(r.stops), r.kf_f.value, r.k_f.value);
    if (r.k_f.interval95.low > 0.0) line += fmt::format(" ({:.1f} stops)", std::log2(r.k_f.value));
    return line + "\n";
}

/// Of the raw the sensor's own channels alone: what is full there no converter brings back.
std::string clippingLine(const Report& report) {
    const ClippingShares& c = *report.clipping;
    std::string line = "clipped        ";
    if (c.productCoverage > 0.0) {
        line += fmt::format("{:.1f} % of the product: diffuse {:.1f}, specular {:.1f}", 100.0 * c.product,
                            100.0 * c.diffuse, 100.0 * c.specular);
        for (const ClippingLight& l : c.byLight) line += fmt::format(" ({} {:.1f})", l.name, 100.0 * l.share);
        line += "; ";
    }
    line += fmt::format("{:.1f} % of the picture", 100.0 * c.picture);
    if (report.fullPixels)
        line += fmt::format("; in the raw {:.1f} % cannot be recovered: a channel of the sensor is full", 100.0 * *report.fullPixels);
    return line + "\n";
}

std::string headLine(const Report& report) {
    const Scene& scene = report.scene;
    std::string line = scene.file.filename().string();
    if (report.picture) {
        const RenderResult& p = *report.picture;
        line += fmt::format(" · {} x {} · {:.0f} s · {} samples · noise {:.2f} stop", scene.picture.width_px,
                            scene.picture.height_px, p.seconds, p.samples, p.noise_stops);
        if (p.stopped == Stopped::noise) line += " · noise not reached";
    }
    if (report.stopped == Stopped::time) line += " · time is up";
    if (report.stopped == Stopped::interrupted) line += " · interrupted";
    line += fmt::format(" · C {:g}, K {:g}", kMeterC_flat, kMeterK);
    if (scene.hasCamera)
        line += fmt::format(" · f/{:g} is {:.3f}", scene.camera.aperture.asWritten, scene.camera.aperture.exact);
    else
        line += fmt::format(" · no camera: ISO {:g}, {}", scene.camera.iso.asWritten, shutterText(scene.camera.shutter_s.asWritten));
    return line + "\n";
}

}  // namespace

std::string shutterText(double asWritten_s) {
    if (asWritten_s < 0.3) return fmt::format("1/{:.0f} s", 1.0 / asWritten_s);
    return fmt::format("{:g} s", asWritten_s);
}

std::string textOf(const Report& report) {
    const Scene& scene = report.scene;
    std::string text = headLine(report);
    bool spot = false;
    for (const ProbeReading& r : report.readings) {
        text += probeLine(report, r);
        if (r.aperture) text += byLightLine(r) + boardLines(r);
        spot = spot || r.probe->kind == ProbeKind::spot;
    }
    for (const RatioReading& r : ratiosOf(report.readings)) text += ratioLine(r);
    if (const ProbeReading* background = backgroundOf(report)) {
        const auto rgb = codesOf(report, *background);
        text += fmt::format("background     {} 18 % grey, sRGB {} {} {}\n",
                            overUnder(background->pictureStopsOver->value, "stops over", "stops under"), rgb[0], rgb[1], rgb[2]);
        if (report.evenness_stops)
            text += fmt::format("{:14} even to {:.2f} ± {:.2f} stop over middle and corners of the backdrop in the picture\n", "",
                                report.evenness_stops->value, half_stops(*report.evenness_stops));
    }
    text += frameLine(report) + edgeLines(report);
    if (report.clipping) text += clippingLine(report);
    if (report.picture && report.seen) text += mirrorLines(report);
    if (report.picture && scene.hasCamera) text += sharpLines(report);
    text += flashLines(report) + motionLines(report) + colourLines(report);
    if (report.picture && scene.hasCamera) text += sensorLines(report);
    if (spot && scene.hasCamera)
        text += "spot readings taken straight from the meter place their spot at 15.7 %, 0.20 stop under 18 % grey\n";
    // The scene's own warnings went to standard error with their line in the file.
    for (const Warning& w : warningsFromNumbers(report)) text += fmt::format("warning: {}\n", w.text);
    return text;
}

}  // namespace keyfall
