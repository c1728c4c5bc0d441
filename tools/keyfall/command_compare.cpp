// `compare`: the variants of a scene side by side at equal exposure: sheet, page, table, difference maps.
#include <fmt/core.h>

#include <filesystem>

#include "commands.h"
#include "compare_pictures.h"
#include "exit_codes.h"
#include "outputs.h"
#include "page.h"
#include "plot_canvas.h"
#include "sheet.h"

namespace keyfall {
namespace {

std::string sheetFile(const Options& o) {
    if (!o.out.empty()) return o.out;
    return std::filesystem::path(o.scene).stem().concat("-compare.png").string();
}

/// Those that are known before the scene is read.
std::vector<Output> fixedOutputs(const Options& o) {
    return {{"--out", sheetFile(o)}, {"--page", o.compare.page}, {"--json", o.json}};
}

std::vector<Output> allOutputs(const Options& o, const ComparePlan& plan) {
    std::vector<Output> outputs = fixedOutputs(o);
    for (const PlannedDifference& d : plan.differences) outputs.push_back({"--difference", d.file});
    for (const PlannedVariant& v : plan.variants) outputs.push_back({"--pictures", pictureFile(o, v)});
    return outputs;
}

/// Time is shared evenly among the variants that are still to come.
std::optional<double> timeForNext(const Options& o, double start_s, std::size_t toCome) {
    const auto left_s = timeLeft_s(o, start_s);
    return left_s ? std::optional(*left_s / static_cast<double>(toCome)) : std::nullopt;
}

void note(CompareReport& report, Stopped stopped) {
    if (report.stopped == Stopped::no || stopped == Stopped::interrupted) report.stopped = stopped;
}

PageSettings pageSettings(const ComparePlan& plan, const Scene& scene) {
    PageSettings settings{scene.title.empty() ? scene.file.filename().string() : scene.title, plan.equal.at,
                          plan.equal.by, plan.live};
    for (const Warning& w : plan.warnings)
        if (isOfExposure(w)) settings.cautions.push_back(w.text);
    return settings;
}

void publish(const CompareReport& report, const Options& options) {
    clearProgressLine();
    if (!options.quiet && options.json != "-") writeStandardOutput(textOf(report));
    if (!options.json.empty()) writeText(options.json, textOf(jsonOf(report)));
}

std::string namesOf(const CompareReport& report, const Options& options) {
    std::string names = sheetFile(options) + "\n";
    if (!options.compare.page.empty()) names += options.compare.page + "\n";
    for (const MadeDifference& d : report.differences) names += d.plan.file + "\n";
    for (const ShownVariant& v : report.shown)
        if (const std::string file = pictureFile(options, v.plan); !file.empty()) names += file + "\n";
    return names;
}

/// One variant after the other; what Ctrl-C cuts is left out.
CompareReport compared(const Options& options, SetReader& reader, const ComparePlan& plan, Page& page) {
    CompareReport report;
    report.plan = plan;
    report.seed = options.seed;
    DifferenceMaker differences(plan);
    const double start_s = steadySeconds();
    agreeOnPoints(options, reader, plan);
    for (std::size_t v = 0; v < plan.variants.size(); ++v) {
        const auto time_s = timeForNext(options, start_s, plan.variants.size() - v);
        const auto look = [&](const ComparedVariant& made) {
            differences.add(v, made);
            if (!options.compare.page.empty()) page.add(made);
        };
        auto shown = shownVariant(options, reader, plan, v, time_s, look);
        if (!shown) {
            note(report, Stopped::interrupted);
            break;
        }
        note(report, shown->set->report.stopped);
        report.shown.push_back(std::move(*shown));
    }
    report.differences = differences.write();
    return report;
}

int exitCode(const CompareReport& report, const Options& options) {
    if (report.stopped == Stopped::interrupted) return kCutShort;
    return report.stopped == Stopped::noise && options.samples == 0 ? kCutShort : kDone;
}

}  // namespace

int runCompare(const Options& options) {
    Canvas::requireEnding("--out", sheetFile(options));
    requireOutputs(options.scene, fixedOutputs(options));
    SetReader reader(options);
    const Scene asWritten = reader.read({});
    const ComparePlan plan = comparePlan(asWritten, options.compare);
    requireOutputs(options.scene, allOutputs(options, plan));
    requireComparable(reader, plan);

    Page page(pageSettings(plan, asWritten));
    const CompareReport report = compared(options, reader, plan, page);
    publish(report, options);
    if (report.shown.empty()) {
        fmt::print(stderr, "keyfall: stopped before the first variant was finished; no sheet is written\n");
        return kCutShort;
    }
    writeCompareSheet(report, sheetFile(options));
    if (!options.compare.page.empty()) page.write(options.compare.page);
    if (!options.quiet && options.json != "-") writeStandardOutput(namesOf(report, options));
    return exitCode(report, options);
}

}  // namespace keyfall
