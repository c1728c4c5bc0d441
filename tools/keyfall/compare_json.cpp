// The comparison as JSON: README, "Comparing". A missing figure is null, never 0.
#include <cmath>

#include "compare_report.h"
#include "json_numbers.h"

namespace keyfall {
namespace {

Json compensationJson(const ShownVariant& v) {
    const Compensation& c = v.compensation;
    Json j;
    j["by"] = nameOf(c.by);
    if (c.impossible.empty()) put(j, "stops", c.stops);
    else putNull(j, "stops");
    j["lamps"] = c.lamps;
    j["beyond"] = Json::array();
    for (const Compensation::Beyond& b : c.beyond) j["beyond"].push_back({{"lamp", b.lamp}, {"stops", b.stops}});
    if (!c.impossible.empty()) j["impossible"] = c.impossible;
    return j;
}

const ShadowEdge* edgeNamed(const Report& report, const std::string& name) {
    if (report.edges)
        for (const ShadowEdge& e : report.edges->edges)
            if (e.name == name) return &e;
    return nullptr;
}

/// Of each edge of the first variant.
Json edgeChangesJson(const Report& first, const Report& report) {
    Json edges = Json::array();
    if (!first.edges) return edges;
    for (const ShadowEdge& e : first.edges->edges) {
        const EdgeChange change = edgeChange(&e, edgeNamed(report, e.name));
        Json j;
        j["name"] = e.name;
        put(j, "times_as_wide", change.factor);
        j["at_same_throw"] = change.atSameThrow;
        j["why"] = change.why.empty() ? Json(nullptr) : Json(change.why);
        edges.push_back(j);
    }
    return edges;
}

/// Against the first variant.
Json changeJson(const CompareReport& report, const ShownVariant& v) {
    const Report& first = report.shown.front().set->report;
    Json j;
    j["against"] = report.shown.front().plan.name;
    if (const auto pair = contrastPair(report)) {
        put(j, "contrast_stops", contrastChange(first, v.set->report, *pair));
        j["lit"] = pair->lit;
        j["shadow"] = pair->shadow;
    }
    if (const std::string background = backgroundName(first); !background.empty())
        put(j, "background_stops", overChange(first, v.set->report, background));
    Json probes = Json::array();
    for (const ProbeReading& r : first.readings) {
        Json probe;
        probe["name"] = r.name;
        put(probe, "picture_stops", overChange(first, v.set->report, r.name));
        probes.push_back(probe);
    }
    j["probes"] = probes;
    j["edges"] = edgeChangesJson(first, v.set->report);
    return j;
}

Json variantJson(const CompareReport& report, const ShownVariant& v) {
    Json j;
    j["name"] = v.plan.name;
    if (!v.plan.caption.empty()) j["caption"] = v.plan.caption;
    j["set"] = Json::object();
    for (const auto& [key, value] : v.plan.set) j["set"][key] = value;
    j["compensation"] = compensationJson(v);
    if (&v != &report.shown.front()) j["change"] = changeJson(report, v);
    j["report"] = v.report;
    return j;
}

}  // namespace

nlohmann::ordered_json jsonOf(const CompareReport& report) {
    Json j;
    j["program"] = "keyfall";
    j["schema"] = 1;
    j["version"] = KEYFALL_VERSION;
    if (!report.shown.empty()) {
        const Scene& scene = report.shown.front().set->scene;
        j["scene"] = scene.file.string();
        j["title"] = scene.title;
    }
    j["seed"] = report.seed;
    j["stopped"] = stoppedJson(report.stopped);
    Json& compare = j["compare"];
    compare["at"] = report.plan.equal.at;
    compare["by"] = nameOf(report.plan.equal.by);
    compare["lamps"] = report.plan.equal.lamps;
    compare["variants"] = Json::array();
    for (const ShownVariant& v : report.shown) compare["variants"].push_back(variantJson(report, v));
    compare["differences"] = Json::array();
    for (const MadeDifference& d : report.differences)
        compare["differences"].push_back({{"from", report.plan.variants[d.plan.from].name},
                                          {"to", report.plan.variants[d.plan.to].name},
                                          {"file", d.plan.file},
                                          {"within_noise", d.shares.withinNoise},
                                          {"brighter", d.shares.brighter},
                                          {"darker", d.shares.darker}});
    j["warnings"] = Json::array();
    for (const Warning& w : warningsOf(report)) j["warnings"].push_back({{"code", w.code}, {"text", w.text}});
    return j;
}

}  // namespace keyfall
