// `lamp`: measures a lamp with its modifier.
#include <fmt/core.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <numbers>

#include "commands.h"
#include "exit_codes.h"
#include "lamp_report.h"
#include "lamp_subject.h"
#include "outputs.h"
#include "plot_canvas.h"
#include "plot_front.h"
#include "plot_polar.h"
#include "progress.h"
#include "report.h"
#include "scene/photometry_file.h"

namespace keyfall {
namespace {

/// What is measured more finely as --quality asks for it.
LampEffort effortOf(const Options& o) {
    LampEffort e;
    const int shift = o.quality == "draft" ? -2 : o.quality == "final" ? 2 : 0;
    for (std::uint32_t* points : {&e.axis, &e.tracedAxis, &e.direction, &e.sphere, &e.front})
        *points = shift < 0 ? *points >> 2U : *points << static_cast<unsigned>(shift);
    if (shift < 0) e.tables = 0;  // as long as all the rest
    return e;
}

std::string heading(const LampReport& r) {
    return r.modifier == "none" ? r.light + ", bare" : r.light + " with " + r.modifier;
}

std::string amountText(const LampReport& r) {
    const char* unit = unitsOf(r.kind).flux;
    return r.isPerThousand ? fmt::format("per 1000 {} of the bare lamp", unit) : fmt::format("{:.6g} {} from the bare lamp", r.flux, unit);
}

/// False when stopped.
bool plotDirections(const LampReport& r, const AskedLamp& asked, const Options& o) {
    std::optional<LampWeb> bare;
    if (asked.subject.body) {
        LampSubject lampAlone = asked.subject;
        lampAlone.body = nullptr;
        lampAlone.table = nullptr;
        bare = measureWeb(lampAlone, effortOf(o).direction, measureSettings(o));
        if (!bare) return false;
    }
    PolarPlot plot{heading(r), "luminous intensity by direction, " + amountText(r), unitsOf(r.kind).intensity, r.flux,
                   &r.figures.web, r.modifier == "none" ? std::string("the lamp") : r.modifier, bare ? &*bare : nullptr};
    plotPolar(plot, o.lamp.plot);
    return true;
}

/// Of the middle one of all open cells, 95 %: so much grain is noise.
std::string cellNoiseText(const FrontGrid& front) {
    std::vector<double> half_stops;
    for (std::size_t i = 0; i < front.open.size(); ++i)
        if (front.open[i] != 0 && front.luminance[i].mean() > 0.0)
            half_stops.push_back(front.luminance[i].interval95().half() / (front.luminance[i].mean() * std::numbers::ln2));
    if (half_stops.empty()) return {};
    const auto middle = half_stops.begin() + static_cast<std::ptrdiff_t>(half_stops.size() / 2);
    std::nth_element(half_stops.begin(), middle, half_stops.end());
    return fmt::format("; a cell ± {:.1g} stop", *middle);
}

/// False when stopped.
bool plotFace(const LampReport& r, const AskedLamp& asked, const Options& o) {
    const LampShape face = outlineOf(asked.subject, *frontOf(asked.subject)).shape;
    constexpr int kCells = 32;  // along the longer side
    const double width = static_cast<double>(face.a_m);
    const double height = face.kind == LampKind::disc ? width : static_cast<double>(face.b_m);
    const auto cells = [&](double side) { return std::max(4, static_cast<int>(kCells * side / std::max(width, height))); };
    const auto front = measureFront(asked.subject, cells(width), cells(height), std::max(4U, effortOf(o).front / 4), measureSettings(o));
    if (!front) return false;
    std::string even;
    if (r.figures.evenness_stops) even = "; " + evennessText(*r.figures.evenness_stops);
    plotFront({heading(r), "luminance of the front, " + amountText(r) + even, unitsOf(r.kind).luminance, r.flux, &*front, cellNoiseText(*front)}, o.lamp.front);
    return true;
}

void writeIes(LampReport& r, const AskedLamp& asked, const Options& o) {
    if (o.lamp.ies.empty()) return;
    PhotometricWeb web = photometricWeb(r.figures.web, asked.subject, r.flux);
    r.iesFlux = fluxByInterpolation_lm(web);
    writeText(o.lamp.ies, lm63Text(web, heading(r) + ", " + amountText(r)));
}

void requireFiles(const Options& o) {
    const LampOptions& l = o.lamp;
    Canvas::requireEnding("--plot", l.plot);
    Canvas::requireEnding("--front", l.front);
    if (!l.ies.empty() && std::filesystem::path(l.ies).extension() != ".ies")
        throw CommandLineError("--ies " + l.ies + " does not end in .ies, by which programs know such a file");
    requireOutputs(o.scene, {{"--plot", l.plot}, {"--front", l.front}, {"--ies", l.ies}, {"--json", o.json}});
}

/// All is measured or nothing is said: there is no figure of half a lamp.
void requireNoLimits(const Options& o) {
    const char* option = o.time_s ? "--time" : o.readingNoise_stops ? "--noise" : o.readingPaths != 0 ? "--samples" : nullptr;
    if (option != nullptr)
        throw CommandLineError(fmt::format("lamp takes no {}: how much it measures is set by --quality draft, preview or final; Ctrl-C ends it", option));
}

int stoppedBefore(const char* what) {
    clearProgressLine();
    fmt::print(stderr, "keyfall: stopped before {}\n", what);
    return kCutShort;
}

}  // namespace

int runLamp(const Options& options) {
    requireNoLimits(options);
    requireFiles(options);
    AskedLamp asked = askedLamp(options);
    if (asked.exitCode != 0) return asked.exitCode;
    if (asked.stopped) return stoppedBefore("the modifier was traced; nothing is written");
    if (!options.lamp.front.empty() && frontOf(asked.subject) == nullptr)
        throw CommandLineError("--front " + options.lamp.front + ": nothing that looks forward to be seen: a bare lamp has no front");

    LampReport report = asked.report;
    auto figures = measureLamp(asked.subject, effortOf(options), measureSettings(options));
    if (!figures) return stoppedBefore("all was measured; nothing is written");
    report.figures = std::move(*figures);

    writeIes(report, asked, options);
    if (!options.lamp.plot.empty() && !plotDirections(report, asked, options)) return stoppedBefore("the plot was measured");
    if (!options.lamp.front.empty() && !plotFace(report, asked, options)) return stoppedBefore("the front was measured");
    clearProgressLine();
    if (!options.quiet && options.json != "-") writeStandardOutput(textOf(report));
    if (!options.json.empty()) writeText(options.json, textOf(jsonOf(report)));
    return kDone;
}

}  // namespace keyfall
