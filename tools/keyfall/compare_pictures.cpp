#include "compare_pictures.h"

#include <fmt/core.h>

#include "outputs.h"
#include "picture.h"
#include "progress.h"
#include "renderer/meter/evenness.h"
#include "report_colour.h"

namespace keyfall {
namespace {

std::string title(const PlannedVariant& v, std::size_t number, const ComparePlan& plan) {
    return fmt::format("{} ({} of {})", v.name, number + 1, plan.variants.size());
}

std::vector<Warning> warningsOfSet(const MeteredSet& set, const std::vector<Warning>& ofCompensation) {
    std::vector<Warning> warnings = ofCompensation;
    for (const Warning& w : warningsFromNumbers(set.report)) warnings.push_back(w);
    return warnings;
}

void equalise(const ComparePlan& plan, MeteredSet& set, ShownVariant& shown) {
    shown.compensation = compensationFor(set.scene, set.report.readings, plan.equal);
    compensate(set.scene, shown.compensation);
    readAgain(set.scene, set.report.readings);
    shown.warnings = compensationWarnings(set.scene, plan.equal, shown.compensation);
    set.scene.warnings.insert(set.scene.warnings.end(), shown.warnings.begin(), shown.warnings.end());
}

/// What its report says beside picture and readings.
void lookAt(MeteredSet& set, const Film& film, const std::vector<LayerMix>& mix, const ExposedFilm& exposed) {
    Report& report = set.report;
    report.clipping = clippingShares(film, exposed.clipped);
    report.fullPixels = fullShare(exposed.electrons, sensorAsSet(set.scene.camera));
    report.evenness_stops = backgroundEvenness_stops(*set.stage, film, mix);
    report.seen = lookAround(*set.stage);
    report.separation = productSeparation(set.scene, lookThroughLens(*set.stage, film.width(), film.height()), film, mix);
}

/// False when there is no picture, or only part of one.
bool pictured(const Options& options, const std::string& doing, std::optional<double> time_s, MeteredSet& set, Film& film) {
    RenderSettings settings = renderSettings(options, time_s);
    if (!options.quiet) settings.run.tell = progressLine("picture of " + doing);
    const RenderResult result = render(*set.stage, film, settings);
    clearProgressLine();
    set.report.picture = result;
    set.report.stopped = result.stopped;
    if (result.stopped == Stopped::no && readingsCutByTime(set.report)) set.report.stopped = Stopped::time;
    return result.stopped != Stopped::interrupted && result.samples > 0;
}

void finish(const Options& options, const Film& film, ShownVariant& shown,
            const std::function<void(const ComparedVariant&)>& look) {
    MeteredSet& set = *shown.set;
    const Scene& scene = set.scene;
    const std::vector<LayerMix> mix = mixAsSet(scene, scene.camera.shutter_s.exact);
    const glm::dvec3 white = cameraWhite(scene.camera, scene.lights, automaticWhite(set.report.readings));
    const ExposedFilm exposed = exposeFilm(scene, film, white, flashCutOf(scene.camera));
    lookAt(set, film, mix, exposed);
    shown.picture = renderView(exposed.image, scene.picture.view);
    if (const std::string file = pictureFile(options, shown.plan); !file.empty()) writePng(file, shown.picture, settingsTexts(set.report));
    shown.report = jsonOf(set.report);
    shown.warnings = warningsOfSet(set, shown.warnings);
    look({shown.plan.name, shown.plan.caption, shown.plan.changes, shown.compensation, set, film, mix, exposed.image, white});
    // What a comparison of 24 cannot hold all at once.
    set.report.seen.reset();
    set.stage.reset();
    set.tables.clear();
}

}  // namespace

void requireComparable(SetReader& reader, const ComparePlan& plan) {
    std::vector<Picture> pictures;
    for (const PlannedVariant& v : plan.variants) pictures.push_back(reader.read({{}, v.variant}).picture);
    for (const PlannedDifference& d : plan.differences) {
        const Picture &a = pictures[d.from], &b = pictures[d.to];
        if (a.width_px != b.width_px || a.height_px != b.height_px)
            throw CommandLineError(fmt::format("--difference: {} has {} x {} pixels and {} has {} x {}; a difference is between pictures of one size",
                                               plan.variants[d.from].name, a.width_px, a.height_px, plan.variants[d.to].name, b.width_px, b.height_px));
    }
}

void agreeOnPoints(const Options& options, SetReader& reader, const ComparePlan& plan) {
    const auto tell = options.quiet ? std::function<void(const Progress&)>() : progressLine("how many paths the readings need");
    double done = 0.0;
    for (const PlannedVariant& v : plan.variants) {
        if (interruptFlag().load()) return;
        reader.agreeOnPoints(reader.read({{}, v.variant}));
        done += 1.0;
        if (tell) tell({done / static_cast<double>(plan.variants.size()), 0.0});
    }
}

std::string pictureFile(const Options& options, const PlannedVariant& variant) {
    if (options.compare.pictures.empty()) return {};
    return options.compare.pictures + "-" + (variant.variant.empty() ? "as-written" : variant.variant) + ".png";
}

std::optional<ShownVariant> shownVariant(const Options& options, SetReader& reader, const ComparePlan& plan, std::size_t variant,
                                         std::optional<double> time_s, const std::function<void(const ComparedVariant&)>& look) {
    ShownVariant shown;
    shown.plan = plan.variants[variant];
    const double start_s = steadySeconds();
    shown.set = reader.meter(reader.read({{}, shown.plan.variant}), time_s ? std::optional(*time_s / 3.0) : std::nullopt);
    if (interruptFlag().load()) return {};
    MeteredSet& set = *shown.set;
    equalise(plan, set, shown);
    set.report.edges = measureShadowEdges(*set.stage, readingSettings(options, time_s ? std::optional(*time_s / 6.0) : std::nullopt), set.report.counters,
                                          set.edgeLines);
    if (variant == 0) reader.keepEdges(set.report.edges->lines);
    if (interruptFlag().load()) return {};
    readColours(set.report);
    Film film(set.scene.picture.width_px, set.scene.picture.height_px, layerInfos(set.scene));
    const auto left_s = time_s ? std::optional(std::max(0.0, *time_s - (steadySeconds() - start_s))) : std::nullopt;
    if (!pictured(options, title(shown.plan, variant, plan), left_s, set, film)) return {};
    finish(options, film, shown, look);
    return shown;
}

void DifferenceMaker::add(std::size_t variant, const ComparedVariant& made) {
    const auto needs = [&](const PlannedDifference& d) { return d.from == variant || d.to == variant; };
    if (std::any_of(plan_.differences.begin(), plan_.differences.end(), needs))
        kept_[variant] = replicatesOf(made.set.scene, made.film, made.mix);
}

std::vector<MadeDifference> DifferenceMaker::write() const {
    std::vector<MadeDifference> made;
    for (const PlannedDifference& d : plan_.differences) {
        if (kept_.count(d.from) == 0 || kept_.count(d.to) == 0) continue;
        const auto pixels = differencesOf(kept_.at(d.from), kept_.at(d.to));
        writeDifferenceMap(
            kept_.at(d.from), plan_.variants[d.from].name, pixels, plan_.variants[d.to].name,
            plan_.equal.moves()
                ? fmt::format("stops between the two pictures at equal exposure of {}", plan_.equal.at)
                : "stops between the two pictures, exposed as set",
            d.file);
        made.push_back({d, sharesOf(pixels)});
    }
    return made;
}

}  // namespace keyfall
