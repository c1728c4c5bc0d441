// What figures come to on a metered set. Not here: their grammar (figure.cpp), how light is traced.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "figure.h"
#include "picture.h"
#include "renderer/meter/jackknife.h"
#include "renderer/photograph/clipping.h"
#include "scene/photo.h"
#include "set_reader.h"

namespace keyfall {
namespace {

/// Samples a pixel of the small picture that `clipped` counts in.
int samplesFor(const Options& options) {
    return options.quality == "draft" ? 4 : options.quality == "final" ? 64 : 16;
}

bool isSafe(const Reading& r) {
    if (!(r.mean() > 0.0)) return false;
    for (int i = 0; i < kReplicates; ++i)
        if (!(meanWithout(r, i) > 0.0)) return false;
    return true;
}

template <class F>
Measured through(F f, const Reading& a) {
    return jackknife([&](int leftOut) { return f(meanWithout(a, leftOut)); });
}

const ProbeReading* readingNamed(const Report& report, const std::string& name) {
    for (const ProbeReading& r : report.readings)
        if (r.name == name) return &r;
    return nullptr;
}

/// Of one light at the probe. The f-number follows the root of the exposure, stops its logarithm.
std::optional<Measured> ofLight(const std::string& name, const ProbeReading& r,
                                const std::string& light) {
    const auto share = std::find_if(r.byLight.begin(), r.byLight.end(),
                                    [&](const LightShare& s) { return s.light == light; });
    if (share == r.byLight.end() || r.missing) return {};
    if (name == "lux") return measured(share->continuous);
    if (name == "exposure") return measured(share->exposure);
    if (!isSafe(share->exposure)) return {};
    const double all = r.exposure.mean();
    if (name == "reading" && r.aperture)
        return through([&](double part) { return r.aperture->value * std::sqrt(part / all); },
                       share->exposure);
    if (name == "stops" && r.stopsOver)
        return through([&](double part) { return r.stopsOver->value + std::log2(part / all); },
                       share->exposure);
    return {};
}

std::optional<Measured> ofProbe(const Figure& figure, const Report& report) {
    const ProbeReading* r = readingNamed(report, figure.arguments[0]);
    if (r == nullptr) return {};
    if (figure.arguments.size() == 2) return ofLight(figure.name, *r, figure.arguments[1]);
    if (figure.name == "reading") return r->aperture;
    if (figure.name == "stops") return r->stopsOver;
    if (r->missing) return {};
    return measured(figure.name == "lux" ? r->continuous : r->exposure);
}

std::optional<Measured> ofTwoProbes(const Figure& figure, const Report& report) {
    const ProbeReading* a = readingNamed(report, figure.arguments[0]);
    const ProbeReading* b = readingNamed(report, figure.arguments[1]);
    if (a == nullptr || b == nullptr) return {};
    if (figure.name == "contrast") return stopsBetween(a->exposure, b->exposure);
    if (!isSafe(a->exposure) || !isSafe(b->exposure)) return {};
    const double less = figure.name == "k_f" ? 1.0 : 0.0;
    // Key to fill of a darker first side would be below 0, and no ratio of two lights is.
    if (figure.name == "k_f" && !(a->exposure.mean() > b->exposure.mean())) return {};
    return jackknife([&](int out) {
        return meanWithout(a->exposure, out) / meanWithout(b->exposure, out) - less;
    });
}

std::optional<Measured> ofEdge(const Figure& figure, const Report& report) {
    if (!report.edges) return {};
    for (const ShadowEdge& e : report.edges->edges) {
        if (e.name != figure.arguments[0]) continue;
        if (figure.name == "depth") return e.depth_stops;
        const Measured& w = e.width10to90_m;
        return Measured{1e3 * w.value, {1e3 * w.interval95.low, 1e3 * w.interval95.high}};
    }
    return {};
}

std::string whyNoLight(const Figure& figure, const Report& report, const std::string& probe) {
    const ProbeReading* r = readingNamed(report, probe);
    if (r == nullptr) return fmt::format("{} was not read", probe);
    if (r->missing) return fmt::format("too little light found at {}", probe);
    if (!isSafe(r->exposure)) return fmt::format("no light is on at {}", probe);
    if (figure.name == "k_f")
        return fmt::format("{} is the darker here, and key to fill is never below 0", figure.arguments[0]);
    return fmt::format("no light of {} found at {}", figure.arguments.back(), probe);
}

/// What the search for edges said of it.
std::string whyNoEdge(const std::string& name, const Report& report) {
    if (!report.edges) return "shadow edges were not measured";
    for (const ShadowEdge& e : report.edges->edges)
        if (e.name == name) return "too little light in the shade for a figure";
    for (const EdgeWarning& w : report.edges->warnings)
        if (w.edge == name) return w.text;
    return "no such shadow edge was found; is its light on?";
}

/// A share of `all` pixels in percent, as sure as points thrown at random.
Measured shareOf(double share, double all) {
    const double half = kStudent95_df15 * std::sqrt(share * (1.0 - share) / all);
    return {100.0 * share, {100.0 * (share - half), 100.0 * (share + half)}};
}

std::optional<Measured> ofArea(const Figure& figure, const MeteredSet& set) {
    const Report& report = set.report;
    if (!report.seen) return {};
    const std::string& area = figure.arguments.back();
    double all = 0.0;
    double clipped = 0.0;
    for (std::size_t p = 0; p < report.seen->visible.object.size(); ++p) {
        if (!isInArea(set.scene, report.seen->visible, p, area)) continue;
        all += 1.0;
        if (report.clippedCoarsely && report.clippedCoarsely->kind[p] != Clipped::no)
            clipped += 1.0;
    }
    if (!(all > 0.0)) return {};
    if (needsPicture(figure))
        return report.clippedCoarsely ? std::optional(shareOf(clipped / all, all)) : std::nullopt;
    const auto mirrored = mirrors_percent(set.scene, report.seen->visible, report.seen->mirrored,
                                          figure.arguments[0], area);
    return mirrored ? std::optional(Measured{*mirrored, {*mirrored, *mirrored}}) : std::nullopt;
}

/// Pixel by pixel beside report.seen. Left empty when stopped by Ctrl-C.
void takeClipped(MeteredSet& set, const Options& options) {
    const Scene& scene = set.scene;
    Film film(set.report.seen->visible.width_px, set.report.seen->visible.height_px,
              layerInfos(scene));
    RenderSettings settings;
    settings.run = measureSettings(options);
    settings.samples = samplesFor(options);
    if (render(*set.stage, film, settings).stopped == Stopped::interrupted) return;
    const glm::dvec3 white =
        cameraWhite(scene.camera, scene.lights, automaticWhite(set.report.readings));
    set.report.clippedCoarsely = exposeFilm(scene, film, white, flashCutOf(scene.camera)).clipped;
}

}  // namespace

void takeLooks(const std::vector<Figure>& figures, MeteredSet& set, const Options& options) {
    const auto any = [&](bool (*needs)(const Figure&)) {
        return std::any_of(figures.begin(), figures.end(), needs);
    };
    if (any(needsEdges) && !set.report.edges)
        set.report.edges = measureShadowEdges(*set.stage, readingSettings(options, {}), set.report.counters,
                                              set.edgeLines);
    if (any(needsLooks) && !set.report.seen) set.report.seen = lookAround(*set.stage);
    if (any(needsPicture) && !set.report.clippedCoarsely) takeClipped(set, options);
}

std::string movedText(const std::vector<Figure>& figures, const Report& report) {
    std::string text;
    if (!report.edges) return text;
    for (const ShadowEdge& e : report.edges->edges) {
        const auto asks = [&](const Figure& f) { return needsEdges(f) && f.arguments[0] == e.name; };
        const bool asked = std::any_of(figures.begin(), figures.end(), asks);
        if (!e.moved || !asked) continue;
        text += fmt::format("{}{} measured at another place than on the set as written: {:.1f} cm behind {}",
                            text.empty() ? "" : "; ", e.name, 1e2 * e.throw_m, e.caster);
    }
    return text;
}

std::vector<Figure> usualFigures(const Scene& scene) {
    std::vector<std::string> incident;
    bool background = false, litSide = false, shadowSide = false;
    for (const Probe& p : scene.probes) {
        if (p.kind == ProbeKind::incident) incident.push_back(p.name);
        background = background || (p.kind == ProbeKind::spot && p.name == "background");
        litSide = litSide || (p.kind == ProbeKind::incident && p.name == "lit-side");
        shadowSide = shadowSide || (p.kind == ProbeKind::incident && p.name == "shadow-side");
    }
    std::vector<std::string> texts;
    if (!incident.empty())
        texts.push_back((scene.hasCamera ? "stops(" : "reading(") + incident[0] + ")");
    if (litSide && shadowSide)
        texts.emplace_back("contrast(lit-side, shadow-side)");
    else if (incident.size() > 1)
        texts.push_back("contrast(" + incident[0] + ", " + incident[1] + ")");
    if (background && scene.hasCamera) texts.emplace_back("background()");
    if (!scene.edges.empty()) {
        texts.push_back("edge(" + scene.edges[0].name + ")");
    } else if (const auto lit = std::find_if(scene.lights.begin(), scene.lights.end(), [](const Light& l) { return l.on; });
               lit != scene.lights.end()) {
        texts.push_back("edge(" + lit->name + "-shadow)");
    }
    std::vector<Figure> figures;
    for (const std::string& text : texts) figures.push_back(parseFigure(text, "--read"));
    return figures;
}

std::optional<Measured> valueOf(const Figure& figure, const MeteredSet& set) {
    if (figure.name == "background") {
        const ProbeReading* spot = backgroundOf(set.report);
        return spot != nullptr ? spot->pictureStopsOver : std::nullopt;
    }
    if (needsEdges(figure)) return ofEdge(figure, set.report);
    if (needsLooks(figure)) return ofArea(figure, set);
    return figure.name == "contrast" || figure.name == "kf_f" || figure.name == "k_f"
               ? ofTwoProbes(figure, set.report)
               : ofProbe(figure, set.report);
}

std::string whyMissing(const Figure& figure, const MeteredSet& set) {
    if (figure.name == "background") return "no reading of the spot that is the background";
    if (needsEdges(figure)) return whyNoEdge(figure.arguments[0], set.report);
    if (needsLooks(figure))
        return fmt::format("nothing of {} is seen by the camera", figure.arguments.back());
    const bool two = figure.name == "contrast" || figure.name == "kf_f" || figure.name == "k_f";
    const ProbeReading* first = readingNamed(set.report, figure.arguments[0]);
    const bool firstFails = !two || first == nullptr || first->missing || !isSafe(first->exposure);
    return whyNoLight(figure, set.report, figure.arguments[firstFails ? 0 : 1]);
}

}  // namespace keyfall
