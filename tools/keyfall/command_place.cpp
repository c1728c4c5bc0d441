// `place`: key values that reach targets, then the set's readings there, and its picture when asked
// for.
#include <fmt/core.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "commands.h"
#include "exit_codes.h"
#include "outputs.h"
#include "picture.h"
#include "place_report.h"
#include "renderer/meter/evenness.h"
#include "report_colour.h"

namespace keyfall {
namespace {

/// What the file allows the camera; bounds that go beyond are drawn in. Throws CommandLineError.
void keepLimits(VariedKey& key, const Limits& limits) {
    const auto& limit = key.key == "camera.aperture"  ? limits.aperture
                        : key.key == "camera.shutter" ? limits.shutter_s
                        : key.key == "camera.iso"     ? limits.iso
                                                      : std::optional<glm::dvec2>();
    if (!limit) return;
    const auto scale = [&](double x) { return key.inStops() ? std::log2(x) : x; };
    key.low = std::max(key.low, scale(limit->x));
    key.high = std::min(key.high, scale(limit->y));
    if (!(key.high > key.low))
        throw CommandLineError(
            fmt::format("--vary {}: nothing of these bounds is within the file's [limits]; "
                        "allowed: {:g} to {:g}",
                        key.key, limit->x, limit->y));
}

std::vector<VariedKey> keysOf(const Options& o, const Scene& scene) {
    std::vector<VariedKey> keys;
    for (const std::string& text : o.series.vary) {
        keys.push_back(parseBounds(text, o));
        keepLimits(keys.back(), scene.limits);
        for (std::size_t k = 0; k + 1 < keys.size(); ++k)
            if (keys[k].key == keys.back().key)
                throw CommandLineError(fmt::format(
                    "--vary {} twice; allowed: each key once; leave one of them out", keys[k].key));
    }
    if (keys.size() > 4)
        throw CommandLineError(
            fmt::format("{} keys to vary are too many for 25 evaluations; allowed: four; hold the "
                        "others by --set",
                        keys.size()));
    return keys;
}

std::vector<Want> wantsOf(const Options& o) {
    std::vector<Want> wants;
    for (const std::string& text : o.place.want) wants.push_back(parseWant(text));
    return wants;
}

bool allReached(const std::vector<Want>& wants,
                const std::vector<std::optional<Measured>>& results) {
    for (std::size_t w = 0; w < wants.size(); ++w)
        if (!results[w] || !isReached(wants[w], offBy(wants[w], *results[w]))) return false;
    return true;
}

/// Empty: nowhere between the bounds can the set be, or be read.
std::optional<PlaceReport> found(PlaceTrials& trials) {
    SearchTask task;
    task.keys = trials.keys().size();
    task.sides = trials.sides();
    task.start = trials.start();
    task.evaluate = [&](const std::vector<double>& at) { return trials.evaluate(at); };
    const std::vector<Trial> all = search(task);
    PlaceReport report;
    report.keys = trials.keys();
    report.wants = trials.wants();
    double least = HUGE_VAL;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (!all[i].possible()) ++report.impossible;
        // A trial that is reached goes before one that is not, however near.
        const double miss =
            all[i].possible() ? missSquared(task, all[i]) +
                                    (allReached(report.wants, trials.all()[i].results) ? 0.0 : 1e6)
                              : HUGE_VAL;
        if (!(miss < least)) continue;
        least = miss;
        report.values = trials.all()[i].values;
        report.results = trials.all()[i].results;
    }
    if (report.values.empty()) return {};
    report.set = trials.changeAt(report.values).set;
    return report;
}

void takePicture(MeteredSet& set, const Options& o, std::optional<double> time_s) {
    Report& report = set.report;
    Film film(set.scene.picture.width_px, set.scene.picture.height_px, layerInfos(set.scene));
    const RenderResult result = render(*set.stage, film, renderSettings(o, time_s));
    report.stopped = result.stopped;
    if (result.samples == 0) return;
    report.picture = result;
    report.evenness_stops = backgroundEvenness_stops(
        *set.stage, film, mixAsSet(set.scene, set.scene.camera.shutter_s.exact));
    report.seen = lookAround(*set.stage);
    photograph(*set.stage, film, report, o.out, "", "");
}

void publish(const PlaceReport& place, const Report* report, const Options& o) {
    clearProgressLine();
    if (!o.quiet && o.json != "-")
        writeStandardOutput(placeText(place, o.scene) +
                            (report != nullptr ? "\n" + textOf(*report) : ""));
    if (o.json.empty()) return;
    nlohmann::ordered_json all =
        report != nullptr ? jsonOf(*report)
                          : nlohmann::ordered_json{
                                {"program", "keyfall"}, {"schema", 1}, {"stopped", "interrupted"}};
    nlohmann::ordered_json warnings =
        all.contains("warnings") ? all["warnings"] : nlohmann::ordered_json::array();
    all.erase("warnings");
    all["place"] = placeJson(place);
    if (place.ended != Stopped::no)
        warnings.push_back(
            {{"code", "search-cut-short"},
             {"text",
              fmt::format("{} after {} evaluations; the nearest of the places looked at so far is shown",
                          place.ended == Stopped::time ? "the time was up" : "interrupted",
                          place.evaluations)}});
    else if (!place.reached)
        warnings.push_back(
            {{"code", "target-not-reached"},
             {"text",
              "no value found between the bounds reaches the target; the nearest is shown"}});
    if (!place.unsure().empty())
        warnings.push_back({{"code", "target-unsure"},
                            {"text", place.unsure() + ": its interval is wider than what a target may be off; "
                                                      "take more paths by --quality or --samples"}});
    all["warnings"] = warnings;
    writeText(o.json, textOf(all));
}

/// Where nothing between the bounds can be.
int nowhere(const PlaceTrials& trials) {
    clearProgressLine();
    if (interruptFlag().load()) {
        fmt::print(stderr,
                   "keyfall: stopped before the first evaluation was whole; nothing is written\n");
        return kCutShort;
    }
    fmt::print(stderr,
               "keyfall: error: the set cannot be, or not be read, anywhere between these bounds; "
               "the first place: {}\n",
               trials.all().empty() ? "none" : trials.all()[0].why);
    return kBadScene;
}

}  // namespace

int runPlace(const Options& options) {
    requireOutputs(options.scene, {{"--json", options.json}, {"--out", options.out}});
    const bool pictured = !options.out.empty();
    SetReader reader(options);
    const std::vector<Want> wants = wantsOf(options);
    const auto ofCamera = [](const Want& w) { return needsCamera(w.figure); };
    const bool camera = pictured || std::any_of(wants.begin(), wants.end(), ofCamera);
    const Scene asWritten = reader.read({}, camera);
    for (const Want& w : wants) requireFigure(w.figure, asWritten);
    if (std::any_of(wants.begin(), wants.end(), [](const Want& w) { return needsEdges(w.figure); }))
        reader.keepEdgesOf(asWritten);
    const double start_s = steadySeconds();
    PlaceTrials trials(reader, options, keysOf(options, asWritten), wants, camera);
    std::optional<PlaceReport> place = found(trials);
    if (!place) return nowhere(trials);
    if (interruptFlag().load()) place->ended = Stopped::interrupted;
    else if (const auto left_s = timeLeft_s(options, start_s); left_s && *left_s <= 0.0)
        place->ended = Stopped::time;
    std::string why;
    const auto set = interruptFlag().load() ? nullptr : trials.meteredAt(place->values, why);
    const bool cut = set == nullptr || interruptFlag().load();
    if (!cut) place->results = trials.resultsOf(*set);
    place->evaluations = trials.evaluations();
    place->all_s = trials.all_s();
    place->slowest_s = trials.slowest_s();
    place->edgePaths = trials.edgePaths();
    place->reached = allReached(place->wants, place->results);
    if (cut) {
        place->ended = Stopped::interrupted;
        publish(*place, nullptr, options);
        return kCutShort;
    }
    if (set->scene.hasCamera && !set->report.seen) set->report.seen = lookAround(*set->stage);
    readColours(set->report);
    const auto left_s = timeLeft_s(options, start_s);
    if (left_s && *left_s <= 0.0) set->report.stopped = Stopped::time;
    if (pictured) takePicture(*set, options, left_s);
    publish(*place, &set->report, options);
    if (pictured && set->report.picture && !options.quiet && options.json != "-")
        writeStandardOutput(options.out + "\n");
    return set->report.stopped == Stopped::interrupted || set->report.stopped == Stopped::noise
               ? kCutShort
               : kDone;
}

}  // namespace keyfall
