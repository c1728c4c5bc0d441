#include "renderer/meter/probe.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "renderer/optics/sampler.h"
#include "renderer/optics/warp.h"
#include "renderer/optics/warp_trig.h"
#include "renderer/transport/layers.h"
#include "renderer/transport/receptor.h"

namespace keyfall {
namespace {

/// Collects one replicate of one probe.
class ProbeSink {
  public:
    ProbeSink(ProbeTransfer& out, std::size_t replicate) : out_(out), replicate_(replicate) {}

    void add(std::uint32_t layer, const Bands& transfer, const Arrival& how) {
        out_.layer[layer][replicate_] += transfer;
        if (how.caustic) out_.caustic[layer][replicate_] += transfer;
        for (std::uint64_t left = how.boards; left != 0; left &= left - 1)
            out_.board[static_cast<std::size_t>(__builtin_ctzll(left))][layer][replicate_] += transfer;
    }
    void addHighlight(std::uint32_t, const Bands&) {}
    void firstHit(const SurfacePoint&) {}

  private:
    ProbeTransfer& out_;
    std::size_t replicate_;
};

/// One path of a probe.
void tracePoint(const Stage& stage, const LayerTable& layers, const Probe& probe,
                PathSampler& sampler, ProbeSink& sink, PathCounters& counters) {
    Path<PathSampler, ProbeSink> path(stage, layers, sampler, sink, counters);
    const glm::vec2 first = sampler.next2D();
    if (probe.kind == ProbeKind::spot) {
        path.fromEye(spotRay(stage.scene().camera.lens_m, probe, first));
        return;
    }
    Receptor receptor;
    receptor.axis = probe.facing;
    receptor.dome = probe.kind == ProbeKind::dome;
    const glm::vec2 onDisc = sampleDisk(sampler.next2D()) * static_cast<float>(probe.receptorRadius_m);
    receptor.point_m = probe.at_m + frameAround(probe.facing).toWorld({onDisc.x, onDisc.y, 0.0F});
    path.fromReceptor(receptor, first);
}

void scale(std::vector<ReplicateBands>& layers, float by) {
    for (ReplicateBands& layer : layers)
        for (Bands& b : layer) b *= by;
}

}  // namespace

Reading total(const std::vector<ReplicateBands>& layers, const std::vector<LayerMix>& mix) {
    Reading sum;
    for (std::size_t l = 0; l < layers.size(); ++l) {
        const Bands weights = mix[l].bands.luminance();
        for (std::size_t r = 0; r < kReplicates; ++r)
            sum.value[r] += mix[l].amount * static_cast<double>(dot(weights, layers[l][r]));
    }
    return sum;
}

bool anyLight(const std::vector<LayerMix>& mix) {
    return std::any_of(mix.begin(), mix.end(), [](const LayerMix& m) { return m.amount > 0.0; });
}

Ray spotRay(glm::vec3 lens_m, const Probe& probe, glm::vec2 u) {
    // The cone of half angle h holds the heights 1 - cos between 0 and 1 - cos h = 2 sin^2(h/2),
    // without cancellation: h is about half a degree. A full angle a is a/(2 pi) turns, h/2 = a/4.
    const double sine = sinCosTurns(probe.spotAngle_rad / (8.0 * kPi)).sin;
    const double rise = static_cast<double>(u.x) * 2.0 * sine * sine;
    const double radius = std::sqrt(std::max(0.0, rise * (2.0 - rise)));
    const SinCos phi = sinCosTurns(static_cast<double>(u.y));
    const Frame f = frameAround(glm::normalize(probe.at_m - lens_m));
    return {lens_m, f.toWorld(glm::vec3(glm::dvec3(radius * phi.cos, radius * phi.sin, 1.0 - rise)))};
}

std::uint32_t pointsFor(const Reading& pilot, std::uint32_t pilotPoints, const ReadingSettings& s) {
    const bool blind = std::any_of(pilot.value.begin(), pilot.value.end(),
                                   [](double v) { return !(v > 0.0); });
    if (blind) return s.mostPoints;
    // Standard error falls at least as 1/sqrt(points); scrambled nets do better, so this is safe.
    // The pilot's error estimate and the reading's scatter by 18 % each (15 degrees of freedom), 26 %
    // together; aiming at half of the target leaves room for two and a half times that.
    const double half_stops = pilot.interval95().half() / (pilot.mean() * std::numbers::ln2);
    const double ratio = 2.0 * half_stops / s.target_stops;
    const double wanted = pilotPoints * ratio * ratio;
    std::uint32_t points = s.leastPoints;
    while (points < wanted && points < s.mostPoints) points *= 2;
    return points;
}

ProbeTransfer traceProbe(const Stage& stage, const Probe& probe, std::uint32_t points,
                         std::uint32_t stream, const RunSettings& run, PathCounters& counters) {
    const LayerTable layers = layerTable(stage.scene());
    ProbeTransfer out;
    out.pointsPerReplicate = points;
    out.layer.resize(layers.count);
    out.caustic.resize(layers.count);
    out.board.assign(stage.boardCount(), std::vector<ReplicateBands>(layers.count));
    std::array<PathCounters, kReplicates> counted{};
    parallelTasks(run.threads, kReplicates, [&](std::size_t r) {
        ProbeSink sink(out, r);
        const auto scramble = static_cast<std::uint32_t>(stream * kReplicates + r);
        for (std::uint32_t i = 0; i < points; ++i) {
            if (run.stop != nullptr && run.stop->load()) return;
            PathSampler sampler(run.seed, scramble, i);
            tracePoint(stage, layers, probe, sampler, sink, counted[r]);
        }
    });
    for (const PathCounters& c : counted) counters += c;
    const float mean = 1.0F / static_cast<float>(points);
    scale(out.layer, mean);
    scale(out.caustic, mean);
    for (auto& board : out.board) scale(board, mean);
    return out;
}

ProbeTransfer readProbe(const Stage& stage, const Probe& probe, const std::vector<LayerMix>& mix,
                        std::uint32_t stream, const ReadingSettings& settings,
                        PathCounters& counters) {
    // Enough to see what one path in a few thousand brings: on the demo, a pilot of 32 left intervals
    // twice as wide as asked for, one of 256 none.
    constexpr std::uint32_t kPilotPoints = 256;
    // Streams of pilots and readings never meet: even and odd.
    const ProbeTransfer pilot =
        traceProbe(stage, probe, kPilotPoints, 2 * stream, settings.run, counters);
    const std::uint32_t points = anyLight(mix)
                                     ? pointsFor(total(pilot.layer, mix), kPilotPoints, settings)
                                     : settings.leastPoints;
    return traceProbe(stage, probe, points, 2 * stream + 1, settings.run, counters);
}

}  // namespace keyfall
