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
        if (how.straight) out_.straight[layer][replicate_] += transfer;
        for (std::uint64_t left = how.boards; left != 0; left &= left - 1)
            out_.board[static_cast<std::size_t>(__builtin_ctzll(left))][layer][replicate_] += transfer;
    }
    void addHighlight(std::uint32_t, const Bands&) {}
    void firstHit(const SurfacePoint&) {}

  private:
    ProbeTransfer& out_;
    std::size_t replicate_;
};

/// A point of the receptor's disc, even over the part of it that is free.
///
/// A cell shows the flux that falls on it over its area, (1/A) int_A E dA. Where the set reaches
/// into the disc there is no cell: A is the part that hangs together with the centre, F = { p : the
/// segment from the centre to p meets nothing }. What lies behind that first surface, inside the
/// solid or beyond a card, is no part of this meter. A point that is even over the disc is even over
/// F once it is known to lie in F, so drawing until one does averages over F without bias; and where
/// the whole disc is free, the first draw stands and so do its numbers. (A real meter's whole disc
/// would have to be drawn back until its rim clears the surface; it would not read from inside it.)
glm::vec3 discPoint_m(const Stage& stage, const Probe& probe, PathSampler& sampler, PathCounters& counters) {
    // Pairs that no vertex of a path comes to: 1000 vertices of 4 pairs and 48 lamps, each lamp seen
    // in 64 mirrors too, are 3.1 million; 48 modifiers of 6 exits behind 100 scrims 3 thousand million.
    constexpr std::uint32_t kFurtherDraws = 0xc0000000U;
    constexpr std::uint32_t kMostDraws = 1000;
    const Frame disc = frameAround(probe.facing);
    glm::vec2 u = sampler.next2D();
    if (!(probe.receptorRadius_m > 0.0)) return probe.at_m;
    for (std::uint32_t draw = 0; draw < kMostDraws; ++draw) {
        const glm::vec2 onDisc = sampleDisk(u) * static_cast<float>(probe.receptorRadius_m);
        const glm::vec3 way_m = disc.toWorld({onDisc.x, onDisc.y, 0.0F});
        const float distance_m = glm::length(way_m);
        if (!(distance_m > 0.0F)) return probe.at_m;
        ++counters.rays;
        const auto hit = stage.intersect(probe.at_m, way_m / distance_m);
        if (!hit || hit->distance_m > distance_m) return probe.at_m + way_m;
        sampler.goTo(kFurtherDraws + draw);
        u = sampler.next2D();
    }
    return probe.at_m;  // where a thousandth of the disc is free, a third of the draws end here
}

/// One path of a probe.
void tracePoint(const Stage& stage, const LayerTable& layers, const Probe& probe, const FacingCards& cards,
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
    receptor.cards = &cards;
    receptor.point_m = discPoint_m(stage, probe, sampler, counters);
    path.fromReceptor(receptor, first);
}

void scale(std::vector<ReplicateBands>& layers, float by) {
    for (ReplicateBands& layer : layers)
        for (Bands& b : layer) b *= by;
}

/// The growing sums of one probe. Points follow each other whatever the passes, so that many passes
/// and one give the same bytes.
class ProbeTrace {
  public:
    ProbeTrace(const Stage& stage, const Probe& probe, std::uint32_t stream, const RunSettings& run)
        : stage_(stage), probe_(probe), stream_(stream), run_(run), layers_(layerTable(stage.scene())),
          cards_(stage, probe.at_m, probe.facing, probe.kind == ProbeKind::dome) {
        out_.layer.resize(layers_.count);
        out_.caustic.resize(layers_.count);
        out_.straight.resize(layers_.count);
        out_.board.assign(stage.boardCount(), std::vector<ReplicateBands>(layers_.count));
    }

    bool stopped() const { return run_.stop != nullptr && run_.stop->load(); }

    /// Traces the points from the last one to `points` of each replicate.
    void upTo(std::uint32_t points) {
        parallelTasks(run_.threads, kReplicates, [&](std::size_t r) {
            ProbeSink sink(out_, r);
            const auto scramble = static_cast<std::uint32_t>(stream_ * kReplicates + r);
            for (std::uint32_t i = out_.pointsPerReplicate; i < points; ++i) {
                if (stopped()) {
                    cut_[r] = true;
                    return;
                }
                PathSampler sampler(run_.seed, scramble, i);
                tracePoint(stage_, layers_, probe_, cards_, sampler, sink, counted_[r]);
            }
        });
        out_.pointsPerReplicate = points;
    }

    /// Sums become means; call it once, at the end.
    ProbeTransfer finish(PathCounters& counters) {
        for (const PathCounters& c : counted_) counters += c;
        const float mean = 1.0F / static_cast<float>(out_.pointsPerReplicate);
        scale(out_.layer, mean);
        scale(out_.caustic, mean);
        scale(out_.straight, mean);
        for (auto& board : out_.board) scale(board, mean);
        out_.interrupted = std::any_of(cut_.begin(), cut_.end(), [](bool cut) { return cut; });
        return std::move(out_);
    }

  private:
    const Stage& stage_;
    const Probe& probe_;
    std::uint32_t stream_;
    const RunSettings& run_;
    LayerTable layers_;
    FacingCards cards_;
    ProbeTransfer out_;
    std::array<PathCounters, kReplicates> counted_{};
    std::array<bool, kReplicates> cut_{};
};

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

std::uint32_t pointsWanted(const Stage& stage, const Probe& probe, const std::vector<LayerMix>& mix,
                           std::uint32_t stream, const ReadingSettings& settings, PathCounters& counters) {
    const auto agreed = settings.agreed.find(probe.name);
    if (agreed != settings.agreed.end()) return agreed->second;
    if (settings.points > 0) return settings.points;
    if (!anyLight(mix)) return settings.leastPoints;
    // Enough to see what one path in a few thousand brings: on the demo, a pilot of 32 left intervals
    // twice as wide as asked for, one of 256 none.
    constexpr std::uint32_t kPilotPoints = 256;
    // Streams of pilots and readings never meet: even and odd.
    const ProbeTransfer pilot = traceProbe(stage, probe, kPilotPoints, 2 * stream, settings.run, counters);
    return pointsFor(total(pilot.layer, mix), kPilotPoints, settings);
}

ProbeTransfer traceProbe(const Stage& stage, const Probe& probe, std::uint32_t points,
                         std::uint32_t stream, const RunSettings& run, PathCounters& counters) {
    ProbeTrace trace(stage, probe, stream, run);
    trace.upTo(points);
    return trace.finish(counters);
}

ProbeTransfer readProbe(const Stage& stage, const Probe& probe, const std::vector<LayerMix>& mix,
                        std::uint32_t stream, const ReadingSettings& settings,
                        PathCounters& counters) {
    const double start_s = now_s(settings.run);
    const std::uint32_t wanted = pointsWanted(stage, probe, mix, stream, settings, counters);
    const double traced_s = now_s(settings.run);
    ProbeTrace trace(stage, probe, 2 * stream + 1, settings.run);
    bool timeIsUp = false;
    for (std::uint32_t points = std::min(wanted, settings.leastPoints);; points *= 2) {
        trace.upTo(points);
        if (settings.run.tell) settings.run.tell({static_cast<double>(points) / wanted, 0.0});
        if (points >= wanted || trace.stopped()) break;
        // The next pass doubles the points, so it takes as long as all before: whole or not at all.
        const double end_s = now_s(settings.run);
        timeIsUp = settings.run.time_s && end_s - start_s + (end_s - traced_s) > *settings.run.time_s;
        if (timeIsUp) break;
    }
    ProbeTransfer transfer = trace.finish(counters);
    transfer.timeIsUp = timeIsUp;
    return transfer;
}

}  // namespace keyfall
