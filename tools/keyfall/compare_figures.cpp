// Figures of one variant and how they change to another. Not here: the lines and the JSON (compare_text.cpp, compare_json.cpp).
#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "compare_report.h"
#include "renderer/meter/jackknife.h"
#include "scene/diagnostics.h"

namespace keyfall {
namespace {

const ProbeReading* named(const Report& report, const std::string& name) {
    for (const ProbeReading& r : report.readings)
        if (r.name == name && r.aperture) return &r;
    return nullptr;
}

/// Without one replicate, in stops from the mean of all; NaN where nothing is left.
double swing(const Reading& reading, int leftOut) { return std::log2(meanWithout(reading, leftOut) / reading.mean()); }

std::optional<Measured> sane(const Measured& m) {
    if (!std::isfinite(m.value) || !std::isfinite(m.interval95.half())) return {};
    return m;
}

}  // namespace

std::optional<ContrastPair> contrastPair(const CompareReport& report) {
    if (report.shown.empty()) return {};
    const auto ratios = ratiosOf(report.shown.front().set->report.readings);
    if (ratios.empty()) return {};
    return ContrastPair{ratios.front().lit, ratios.front().shadow};
}

std::optional<Measured> contrastOf(const Report& report, const ContrastPair& pair) {
    const ProbeReading* lit = named(report, pair.lit);
    const ProbeReading* shadow = named(report, pair.shadow);
    if (lit == nullptr || shadow == nullptr) return {};
    return stopsBetween(lit->exposure, shadow->exposure);
}

std::optional<Measured> overAt(const Report& report, const std::string& probe) {
    const ProbeReading* r = named(report, probe);
    return r != nullptr ? r->pictureStopsOver : std::nullopt;
}

std::optional<Measured> contrastChange(const Report& a, const Report& b, const ContrastPair& pair) {
    const auto contrastA = contrastOf(a, pair);
    const auto contrastB = contrastOf(b, pair);
    if (!contrastA || !contrastB) return {};
    const double change = contrastB->value - contrastA->value;
    const auto contrastSwing = [&](const Report& r, int i) {
        return swing(named(r, pair.lit)->exposure, i) - swing(named(r, pair.shadow)->exposure, i);
    };
    return sane(jackknife([&](int i) { return change + contrastSwing(b, i) - contrastSwing(a, i); }));
}

std::optional<Measured> overChange(const Report& a, const Report& b, const std::string& probe) {
    const ProbeReading* ra = named(a, probe);
    const ProbeReading* rb = named(b, probe);
    if (ra == nullptr || rb == nullptr || !ra->pictureStopsOver || !rb->pictureStopsOver) return {};
    const double change = rb->pictureStopsOver->value - ra->pictureStopsOver->value;
    return sane(jackknife([&](int i) { return change + swing(rb->exposure, i) - swing(ra->exposure, i); }));
}

const ShadowEdge* mainEdge(const ShownVariant& variant) {
    const Report& report = variant.set->report;
    if (!report.edges || report.edges->edges.empty()) return nullptr;
    const auto& lamps = variant.compensation.lamps;
    for (const ShadowEdge& edge : report.edges->edges)
        if (std::count(lamps.begin(), lamps.end(), report.scene.lights.at(edge.light).name) > 0) return &edge;
    return &report.edges->edges.front();
}

EdgeChange edgeChange(const ShadowEdge* a, const ShadowEdge* b) {
    EdgeChange change;
    if (a == nullptr || b == nullptr) change.why = a == nullptr ? "no edge before" : "no edge";
    else if (a->light != b->light) change.why = "of another light";
    else if (a->caster != b->caster) change.why = fmt::format("thrown by {}, not by {}", b->caster, a->caster);
    else if (a->receiver != b->receiver) change.why = fmt::format("on {}, not on {}", b->receiver, a->receiver);
    if (!change.why.empty()) return change;
    constexpr double kSameThrow = 0.01;
    const double throws = b->throw_m / a->throw_m;
    change.atSameThrow = std::abs(throws - 1.0) > kSameThrow;
    const auto width = [](const ShadowEdge& e, int leftOut) {
        return leftOut == kNoneLeftOut ? e.width10to90_m.value : e.widthWithout_m[static_cast<std::size_t>(leftOut)];
    };
    change.factor = sane(jackknife([&](int i) { return width(*b, i) / width(*a, i) / (change.atSameThrow ? throws : 1.0); }));
    if (!change.factor) change.why = "too unsure";
    return change;
}

std::string exposureText(const CompareReport& report) {
    const EqualExposure& equal = report.plan.equal;
    std::vector<std::string> others;
    for (const ShownVariant& v : report.shown)
        if (!v.compensation.reached()) others.push_back(v.plan.name);
    if (others.size() == report.shown.size()) return "exposed as set";
    std::string text = fmt::format("equal exposure at {} by {}", equal.at, nameOf(equal.by));
    if (!equal.lamps.empty()) text += " of " + joined(equal.lamps);
    return others.empty() ? text : text + ", all but " + joined(others);
}

std::string backgroundName(const Report& report) {
    const ProbeReading* background = backgroundOf(report);
    return background != nullptr ? background->name : std::string();
}

std::vector<Warning> warningsOf(const CompareReport& report) {
    struct Said {
        Warning warning;
        std::vector<std::string> of;
    };
    std::vector<Said> said;
    for (const ShownVariant& v : report.shown)
        for (const Warning& w : v.warnings) {
            auto at = std::find_if(said.begin(), said.end(), [&](const Said& s) { return s.warning.code == w.code && s.warning.text == w.text; });
            if (at == said.end()) at = said.insert(at, {w, {}});
            if (at->of.empty() || at->of.back() != v.plan.name) at->of.push_back(v.plan.name);
        }
    std::vector<Warning> warnings = report.plan.warnings;
    for (const Said& s : said) {
        std::string names;
        for (const std::string& name : s.of) names += (names.empty() ? "" : ", ") + name;
        if (s.of.size() == report.shown.size() && s.of.size() > 1) names = "all";
        warnings.push_back({s.warning.code, fmt::format("{}: {}", names, s.warning.text)});
    }
    return warnings;
}

}  // namespace keyfall
