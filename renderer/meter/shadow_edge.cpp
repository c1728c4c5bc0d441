#include "renderer/meter/shadow_edge.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <set>

#include "renderer/meter/edge_count.h"
#include "renderer/meter/shadow_lines.h"
#include "renderer/meter/shadow_map.h"
#include "renderer/meter/shadow_profile.h"
#include "renderer/meter/shadow_warnings.h"
#include "renderer/transport/camera_rays.h"

namespace keyfall {
namespace {

/// The same set without whatever throws shadows: products, blocks, and the casters of the lines.
Scene openScene(const Scene& scene, const std::vector<LineToMeter>& lines) {
    std::set<std::uint32_t> casters;
    for (const LineToMeter& l : lines) casters.insert(l.place.caster);
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

ShadowEdge edgeOf(const Stage& stage, const LineToMeter& line, const Profile& profile, const EdgeFigures& figures) {
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

std::uint32_t pointsOf(const ReadingSettings& s) {
    if (s.points > 0) return std::min(s.points, kMostEdgePoints);
    return s.target_stops >= 0.015 ? 64 : 256;
}

/// Meters the lines one after the other until the time is over.
class Metering {
  public:
    Metering(const Stage& stage, const ReadingSettings& settings, std::vector<LineToMeter> lines,
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
                    {{"edges-cut-short", "the time was up before edge " + lines_[i].name + " was metered"},
                     lines_[i].name});
                continue;
            }
            if (!meter(i, found)) return;
        }
    }

  private:
    /// False when it was stopped.
    bool meter(std::size_t i, ShadowEdges& found) {
        constexpr std::uint32_t kStreams = 0x400000;  // far from the probes'
        const LineToMeter& line = lines_[i];
        const std::vector<float> x_m = placesAlong(line.place, line.from_m, line.to_m, line.beside);
        const auto profile = meterProfile(
            stage_, open_, line.place, x_m,
            {settings_.run, pointsOf(settings_), kStreams + static_cast<std::uint32_t>(i)}, counters_);
        if (!profile) return false;
        const auto figures = edgeFigures(*profile, line.place);
        if (!figures) {
            found.warnings.push_back(
                {{"edge-not-found", "edge " + line.name +
                                        ": no step in the light along the line; the shadow is too faint or "
                                        "the front too large for one"},
                 line.name});
            return true;
        }
        found.edges.push_back(edgeOf(stage_, line, *profile, *figures));
        found.lines.push_back(line.found);
        warnOfEdge(stage_, found.edges.back(), line, *figures, found.warnings);
        return true;
    }

    const Stage& stage_;
    const ReadingSettings& settings_;
    std::vector<LineToMeter> lines_;
    PathCounters& counters_;
    double start_s_;
    Scene openScene_;
    Stage open_;
};

}  // namespace

ShadowEdges measureShadowEdges(const Stage& stage, const ReadingSettings& settings, PathCounters& counters,
                               const std::vector<FoundLine>& first) {
    ShadowEdges found;
    std::vector<LineToMeter> lines = linesToMeter(stage, first, found.warnings);
    if (!lines.empty()) Metering(stage, settings, std::move(lines), counters).run(found);
    return found;
}

}  // namespace keyfall
