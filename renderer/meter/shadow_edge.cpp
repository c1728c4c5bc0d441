#include "renderer/meter/shadow_edge.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <set>

#include "renderer/meter/edge_count.h"
#include "renderer/meter/shadow_again.h"
#include "renderer/meter/shadow_beside.h"
#include "renderer/meter/shadow_cross.h"
#include "renderer/meter/shadow_find.h"
#include "renderer/meter/shadow_map.h"
#include "renderer/meter/shadow_profile.h"
#include "renderer/transport/camera_rays.h"

namespace keyfall {
namespace {

/// A line that waits to be metered.
struct Line {
    std::string name;
    EdgePlace place;
    float from_m = 0.0F, to_m = 0.0F;  ///< of it that the scene asks for, along the place's line
    std::vector<glm::vec2> beside{};   ///< penumbrae of other lights, along the place's line
    std::optional<FoundLine> movedFrom{};  ///< the first form's, which crosses no whole edge here
};

bool isLit(const Light& light) { return light.on && light.fluxAsSet() > 0.0; }

std::string nameOfLight(const Scene& scene, std::size_t light) { return scene.lights[light].name; }

/// Luminous exposure on the open line, as the light would bring it: how much each light's shadow is worth.
double worthOf(const Scene& scene, const EdgePlace& place, const LuminousFront& front) {
    const Light& l = scene.lights[place.light];
    const double share = l.kind == LightKind::flash ? 1.0 : scene.camera.shutter_s.exact;
    const glm::vec3 way_m = front.middle_m - place.at_m;
    const auto distance_m = static_cast<double>(glm::length(way_m));
    const auto cosine = static_cast<double>(std::max(0.0F, glm::dot(way_m, place.normal))) / distance_m;
    return l.fluxAsSet() * share * cosine / (distance_m * distance_m);
}

/// The light whose shadow's edge on the line takes most light away.
std::optional<EdgePlace> strongestOn(const Stage& stage, const GroundLine& line) {
    const Scene& scene = stage.scene();
    std::optional<EdgePlace> best;
    double most = 0.0;
    for (std::size_t l = 0; l < scene.lights.size(); ++l) {
        if (!isLit(scene.lights[l])) continue;
        const auto place = crossingOn(stage, l, line);
        if (!place) continue;
        const double worth = worthOf(scene, *place, luminousFront(stage, l, place->at_m));
        if (worth > most) best = place, most = worth;
    }
    return best;
}

void addGiven(const Stage& stage, const EdgeLine& edge, std::vector<Line>& lines,
              std::vector<Warning>& warnings) {
    const auto laid = layOnGround(stage, edge);
    if (!laid) {
        warnings.push_back({"edge-not-found", "edge " + edge.name +
                                                  ": no surface within 1 cm of the line's middle; put `from` "
                                                  "and `to` on the surface that the shadow falls on"});
        return;
    }
    const auto place = strongestOn(stage, *laid);
    if (!place) {
        warnings.push_back(
            {"edge-not-found", "edge " + edge.name +
                                   ": no shadow's outline crosses the line (of the lights that are on, as "
                                   "their middle sees it); move it, or make it longer"});
        return;
    }
    // The line's ends, as the place's line counts.
    const float middle_m = glm::dot(laid->ground.at_m - place->at_m, place->along);
    lines.push_back({edge.name, *place, middle_m - laid->half_m, middle_m + laid->half_m});
}

/// Is there anything to throw a shadow, and anything for it to fall on?
bool mayHaveShadows(const Scene& scene) {
    bool casts = false, receives = false;
    for (const Item& i : scene.items) {
        casts = casts || (casterRank(i) >= 0 && casterRank(i) <= 1);
        receives =
            receives || i.kind == ItemKind::table || i.kind == ItemKind::backdrop || i.kind == ItemKind::room;
    }
    return casts && receives;
}

const FoundLine* ofLight(const std::vector<FoundLine>& lines, const std::string& light) {
    const auto at = std::find_if(lines.begin(), lines.end(), [&](const FoundLine& l) { return l.light == light; });
    return at != lines.end() ? &*at : nullptr;
}

/// Where another form of the set was measured, if it can be; else where this one is best.
std::optional<Line> lineFor(const Stage& stage, std::size_t light, const FoundLine* first) {
    const std::string name = nameOfLight(stage.scene(), light) + "-shadow";
    if (first != nullptr)
        if (const auto place = placeAgain(stage, light, *first)) return Line{name, *place};
    const auto place = mainShadow(stage, light);
    if (!place) return {};
    Line line{name, *place};
    if (first != nullptr) line.movedFrom = *first;
    return line;
}

void addFound(const Stage& stage, const std::vector<FoundLine>& first, std::vector<Line>& lines,
              std::vector<Warning>& warnings) {
    const Scene& scene = stage.scene();
    if (!mayHaveShadows(scene)) return;
    std::vector<std::size_t> lit;
    for (std::size_t l = 0; l < scene.lights.size(); ++l)
        if (isLit(scene.lights[l])) lit.push_back(l);
    for (const std::size_t l : lit) {
        if (auto line = lineFor(stage, l, ofLight(first, nameOfLight(scene, l)))) {
            line->beside = penumbraeBeside(stage, line->place, lit);
            for (const glm::vec2& b : line->beside)
                line->from_m = std::min(line->from_m, b.x), line->to_m = std::max(line->to_m, b.y);
            lines.push_back(std::move(*line));
            continue;
        }
        warnings.push_back({"edge-not-found",
                            "light " + nameOfLight(scene, l) +
                                ": no cast shadow on table, backdrop or room " +
                                (scene.hasCamera ? "in the picture " : "") +
                                "with a place where its whole edge can be measured; an [[edge]] says where"});
    }
}

/// The same set without whatever throws shadows: products, blocks, and the casters of the lines.
Scene openScene(const Scene& scene, const std::vector<Line>& lines) {
    std::set<std::uint32_t> casters;
    for (const Line& l : lines) casters.insert(l.place.caster);
    Scene open = scene;
    open.items.clear();
    for (std::size_t i = 0; i < scene.items.size(); ++i) {
        const bool throws =
            scene.items[i].kind == ItemKind::product || scene.items[i].kind == ItemKind::block;
        if (!throws && casters.count(objectOfItem(scene, i)) == 0) open.items.push_back(scene.items[i]);
    }
    return open;
}

/// Distance in the picture between the lines at 10 and 90 %, square to the edge as it appears there.
std::optional<double> width_px(const Stage& stage, const EdgePlace& p, const EdgeFigures& f) {
    const Scene& scene = stage.scene();
    const glm::vec3 at10_m = p.at_m + f.x10_m * p.along, at90_m = p.at_m + f.x90_m * p.along;
    if (!scene.hasCamera || !isSeen(stage, at10_m, p.normal) || !isSeen(stage, at90_m, p.normal)) return {};
    const CameraRays rays(scene.camera, scene.picture.width_px, scene.picture.height_px);
    const glm::dvec2 across(rays.project_px(at90_m) - rays.project_px(at10_m));
    constexpr float kBeside_m = 1e-3F;
    const glm::dvec2 outline(rays.project_px(at10_m + kBeside_m * p.outline) -
                             rays.project_px(at10_m - kBeside_m * p.outline));
    return std::abs(across.x * outline.y - across.y * outline.x) / glm::length(outline);
}

Measured scaled(const Measured& m, double by) {
    return {m.value * by, {m.interval95.low * by, m.interval95.high * by}};
}

ShadowEdge edgeOf(const Stage& stage, const Line& line, const Profile& profile, const EdgeFigures& figures) {
    const EdgePlace& p = line.place;
    ShadowEdge e;
    e.name = line.name;
    e.light = p.light;
    e.caster = nameOfObject(stage.scene(), p.caster);
    e.receiver = nameOfObject(stage.scene(), p.receiver);
    e.from_m = p.at_m + profile.front().x_m * p.along;
    e.to_m = p.at_m + profile.back().x_m * p.along;
    e.crossing_rad = p.crossing_rad();
    e.width10to90_m = scaled(figures.width_m, std::sin(e.crossing_rad));
    for (std::size_t i = 0; i < e.widthWithout_m.size(); ++i)
        e.widthWithout_m[i] = figures.widthWithout_m[i] * std::sin(e.crossing_rad);
    e.widthFull_m = p.widthFull_m();
    e.throw_m = p.throw_m();
    e.width_px = width_px(stage, p, figures);
    e.depth_stops = figures.depth_stops;
    e.depthOwn_stops = figures.depthOwn_stops;
    e.edgeCount = std::max(1, countEdges(profile));
    e.moved = line.movedFrom.has_value();
    return e;
}

void warnOfMove(const ShadowEdge& e, const FoundLine& first, std::vector<Warning>& warnings) {
    const auto place = [](double throw_m, const std::string& caster) {
        const auto mm = static_cast<int>(std::lround(throw_m * 1e3));
        return std::to_string(mm / 10) + "." + std::to_string(mm % 10) + " cm behind " + caster;
    };
    warnings.push_back({"edge-moved", "edge " + e.name + ": measured " + place(e.throw_m, e.caster) +
                                          "; the line of the first form of the set, " +
                                          place(first.throw_m, first.caster) +
                                          ", crosses no whole edge of that shadow here"});
}

/// Why the shade is less than a plateau of full shade, and what counts in its place.
std::string shadeText(const Stage& stage, const ShadowEdge& e, const EdgePlace& place) {
    const std::string none = "no place of the shadow has full shade there, ";
    const std::string from = "; the width is counted from ";
    switch (place.shade) {
        case Shade::foot:
            return none + "it grows up to the foot of " + nameOfObject(stage.scene(), place.foot) + from +
                   "there to the light";
        case Shade::surfaceEnds:
            return none + "it grows up to the end of " + e.receiver + from + "there to the light";
        case Shade::bothSides:
            return none + "the front looks around both sides of " + e.caster + from +
                   "the deepest place to the light";
        default:
            return "its full shade is narrower than a quarter of the penumbra" + from +
                   "the middle of that shade to the light";
    }
}

void warnOfEdge(const Stage& stage, const ShadowEdge& e, const EdgePlace& place, const EdgeFigures& figures,
                std::vector<Warning>& warnings) {
    constexpr double kShallow_rad = 0.5235987755982988;  // 30 degrees
    if (e.crossing_rad < kShallow_rad)
        warnings.push_back({"edge-shallow-crossing", "edge " + e.name +
                                                         ": the line crosses it at less than 30 degrees; the "
                                                         "width across the edge is unsure, turn the line"});
    if (!e.depth_stops || !e.depthOwn_stops)
        warnings.push_back({"edge-no-depth", "edge " + e.name + ": too little light in the shade for its depth in stops" +
                                                 (e.depth_stops ? ", of " + nameOfLight(stage.scene(), e.light) + " alone" : "") +
                                                 "; the figure is missing, not 0"});
    if (place.shade != Shade::full)
        warnings.push_back({"edge-no-plateau", "edge " + e.name + ": " + shadeText(stage, e, place)});
    else if (figures.unevenness > 0.05)
        warnings.push_back(
            {"edge-no-plateau", "edge " + e.name +
                                    ": beside the penumbra the light still changes; another edge lies close, "
                                    "or light from the caster, and the width is between what there is"});
}

std::uint32_t pointsOf(const ReadingSettings& s) {
    if (s.points > 0) return std::min(s.points, kMostEdgePoints);
    return s.target_stops >= 0.015 ? 64 : 256;
}

/// Meters the lines one after the other until the time is over.
class Metering {
  public:
    Metering(const Stage& stage, const ReadingSettings& settings, std::vector<Line> lines,
             PathCounters& counters)
        : stage_(stage),
          settings_(settings),
          lines_(std::move(lines)),
          counters_(counters),
          start_s_(now_s(settings.run)),
          openScene_(openScene(stage.scene(), lines_)),
          open_(openScene_, settings.run.threads, stage.tables()) {}

    void run(ShadowEdges& found) {
        for (std::size_t i = 0; i < lines_.size(); ++i) {
            const bool late =
                i > 0 && settings_.run.time_s && now_s(settings_.run) - start_s_ > *settings_.run.time_s;
            if (late) {
                found.warnings.push_back(
                    {"edges-cut-short", "the time was up before edge " + lines_[i].name + " was metered"});
                continue;
            }
            if (!meter(i, found)) return;
        }
    }

  private:
    /// False when it was stopped.
    bool meter(std::size_t i, ShadowEdges& found) {
        constexpr std::uint32_t kStreams = 0x400000;  // far from the probes'
        const Line& line = lines_[i];
        const std::vector<float> x_m = placesAlong(line.place, line.from_m, line.to_m, line.beside);
        const auto profile = meterProfile(
            stage_, open_, line.place, x_m,
            {settings_.run, pointsOf(settings_), kStreams + static_cast<std::uint32_t>(i)}, counters_);
        if (!profile) return false;
        const auto figures = edgeFigures(*profile, line.place);
        if (!figures) {
            found.warnings.push_back(
                {"edge-not-found", "edge " + line.name +
                                       ": no step in the light along the line; the shadow is too faint or "
                                       "the front too large for one"});
            return true;
        }
        found.edges.push_back(edgeOf(stage_, line, *profile, *figures));
        found.lines.push_back(foundLine(stage_.scene(), line.place));
        if (line.movedFrom) warnOfMove(found.edges.back(), *line.movedFrom, found.warnings);
        warnOfEdge(stage_, found.edges.back(), line.place, *figures, found.warnings);
        return true;
    }

    const Stage& stage_;
    const ReadingSettings& settings_;
    std::vector<Line> lines_;
    PathCounters& counters_;
    double start_s_;
    Scene openScene_;
    Stage open_;
};

}  // namespace

ShadowEdges measureShadowEdges(const Stage& stage, const ReadingSettings& settings, PathCounters& counters,
                               const std::vector<FoundLine>& first) {
    const Scene& scene = stage.scene();
    ShadowEdges found;
    std::vector<Line> lines;
    for (const EdgeLine& edge : scene.edges) addGiven(stage, edge, lines, found.warnings);
    if (scene.edges.empty()) addFound(stage, first, lines, found.warnings);
    if (!lines.empty()) Metering(stage, settings, std::move(lines), counters).run(found);
    return found;
}

}  // namespace keyfall
