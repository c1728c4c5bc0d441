// `lamp`: measures a lamp with its modifier.
#include <fmt/core.h>

#include <algorithm>
#include <nlohmann/json.hpp>

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

/// False when stopped.
bool plotFace(const LampReport& r, const AskedLamp& asked, const Options& o) {
    const ExitFace* face = frontOf(asked.subject);
    constexpr int kCells = 48;  // along the longer side
    const double width = static_cast<double>(face->shape.a_m);
    const double height = face->shape.kind == LampKind::disc ? width : static_cast<double>(face->shape.b_m);
    const auto cells = [&](double side) { return std::max(4, static_cast<int>(kCells * side / std::max(width, height))); };
    const auto front = measureFront(asked.subject, cells(width), cells(height), std::max(4U, effortOf(o).front / 4), measureSettings(o));
    if (!front) return false;
    std::string even;
    if (r.figures.evenness_stops) even = fmt::format("; even to {:.2f} stop", r.figures.evenness_stops->value);
    plotFront({heading(r), "luminance of the front, " + amountText(r) + even, unitsOf(r.kind).luminance, r.flux, &*front}, o.lamp.front);
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

int stoppedBefore(const char* what) {
    clearProgressLine();
    fmt::print(stderr, "keyfall: stopped before {}\n", what);
    return kCutShort;
}

}  // namespace

int runLamp(const Options& options) {
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
