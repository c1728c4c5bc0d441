// The walk of a photon. Not here: tables (bake.cpp), the exits' planes (exit_planes.h).
#include "renderer/transport/light_trace.h"

#include <algorithm>
#include <bit>
#include <mutex>
#include <stdexcept>

#include "renderer/optics/bsdf.h"
#include "renderer/optics/directional_albedo.h"
#include "renderer/optics/lamp_emission.h"
#include "renderer/optics/sampler.h"
#include "renderer/transport/axis_draw.h"
#include "renderer/transport/exit_planes.h"

namespace keyfall {
namespace {

constexpr int kGuard = 1000;
constexpr int kRouletteFrom = 4;
/// Ways on from a photon's first surface: half of the rays of a bowl would else lead there alone. With
/// draws towards the axis, half as many, and as many of those.
constexpr std::uint32_t kWays = 4;

/// The places of a photon's random numbers, the same whatever happened before: each stays stratified.
enum Dimension : std::uint32_t { kPosition, kDirection, kFirstVertex };
enum VertexDimension : std::uint32_t { kScatter, kLobe, kRoulette, kAxis, kPerVertex };
/// Emission drawn again, beyond the numbers of any vertex.
constexpr std::uint32_t kAgain = kFirstVertex + kPerVertex * (kGuard + 1U);

/// What all photons share.
struct Surroundings {
    const Stage& stage;
    const LampShape& lamp;
    ExitPlanes exits;
    bool towardsAxis;
    bool withoutOnce;
    std::vector<std::optional<DirectionalAlbedo>> albedo;  ///< of each of the scene's materials

    Surroundings(const Stage& s, const std::vector<ExitFace>& faces, const LightTraceSettings& settings)
        : stage(s), lamp(s.emitters().front().shape), exits(faces), towardsAxis(settings.towardsAxis),
          withoutOnce(settings.withoutOnceScattered), albedo(s.scene().materials.size()) {
        for (const Item& item : s.scene().items)
            if (!item.mesh.normal.empty())
                throw std::invalid_argument("light trace: '" + item.name +
                                            "' has vertex normals; allowed are flat facets");
        parallelTasks(settings.run.threads, albedo.size(),
                      [&](std::size_t m) { albedo[m].emplace(s.scene().materials[m]); });
    }
    const DirectionalAlbedo& albedoOf(const Material& m) const {
        return *albedo[static_cast<std::size_t>(&m - stage.scene().materials.data())];
    }
};

EmittedRay emit(const LampShape& lamp, PathSampler& sampler) {
    sampler.goTo(kPosition);
    glm::vec2 position = sampler.next2D();
    EmittedRay ray = sampleEmission(lamp, position, sampler.next2D());
    for (std::uint32_t again = 0; !ray.leaves && again < 1000U; ++again) {
        sampler.goTo(kAgain + 2U * again);
        position = sampler.next2D();
        ray = sampleEmission(lamp, position, sampler.next2D());
    }
    return ray;
}

/// Where a photon is and what it carries.
struct Photon {
    glm::vec3 origin_m{0.0F};
    glm::vec3 direction{0.0F};
    Bands weight{1.0F};
    bool scattered = false;
    bool once = false;       ///< scattered for the first time, at a wholly rough vertex, just now
    float exitShare = 1.0F;  ///< of what crosses an exit now: draws towards the axis have the rest
};

class Walk {
  public:
    Walk(const Surroundings& around, const RunSettings& run, std::uint32_t stream, LightBalance& balance,
         ExitSink& sink)
        : around_(around), seed_(run.seed), stream_(stream), balance_(balance), sink_(sink) {}

    /// One photon: together to its first surface, from there several ways, each with its share.
    void operator()(std::uint32_t index) {
        PathSampler sampler(seed_, stream_, index);
        const EmittedRay start = emit(around_.lamp, sampler);
        Photon photon{Stage::offsetOrigin(start.origin_m, start.normal), start.direction};
        share_ = 1.0F;
        const auto hit = travel(photon);
        if (!hit) return;
        const SurfacePoint s = around_.stage.surfaceAt(*hit, photon.origin_m, photon.direction);
        absorb(photon, s);
        const std::uint32_t ways = around_.towardsAxis ? kWays / 2U : kWays;
        share_ = 1.0F / static_cast<float>(ways);
        for (std::uint32_t way = 0; way < ways; ++way) {
            Photon own = photon;
            // The ways of all photons are one net of directions.
            sampler = PathSampler(seed_, stream_, index * ways + way);
            if (around_.towardsAxis) sendTowardsAxis(own, s, 1, sampler);
            if (scatter(own, s, 1, sampler)) goOn(own, sampler);
        }
    }

  private:
    void goOn(Photon& photon, PathSampler& sampler) {
        for (int vertex = 2; vertex <= kGuard; ++vertex) {
            const auto hit = travel(photon);
            if (!hit) return;
            const SurfacePoint s = around_.stage.surfaceAt(*hit, photon.origin_m, photon.direction);
            absorb(photon, s);
            if (around_.towardsAxis) sendTowardsAxis(photon, s, vertex, sampler);
            if (!scatter(photon, s, vertex, sampler) || !survives(photon, vertex, sampler)) return;
        }
        ++balance_.guardStops;
    }

    /// The exit that the photon crosses before it meets `hit`, if any.
    std::optional<ExitPlanes::Crossing> crossingOf(const Photon& photon,
                                                   const std::optional<RayHit>& hit) const {
        const auto crossing = around_.exits.first(photon.origin_m, photon.direction);
        if (crossing && hit && ExitPlanes::isBefore(hit->distance_m, *crossing)) return std::nullopt;
        return crossing;
    }

    void count(const Photon& photon, const ExitPlanes::Crossing& crossing) {
        const Bands flux = photon.weight * (share_ * photon.exitShare);
        (photon.scattered ? balance_.scattered : balance_.straight).add(flux);
        if (photon.scattered) sink_.add(crossing.at, flux);
    }

    /// To the next surface; empty where the photon leaves before it.
    std::optional<RayHit> travel(const Photon& photon) {
        ++balance_.rays;
        const auto hit = around_.stage.intersect(photon.origin_m, photon.direction);
        if (const auto crossing = crossingOf(photon, hit)) {
            if (!photon.once || !around_.withoutOnce) count(photon, *crossing);
            return std::nullopt;
        }
        if (!hit) {
            ++balance_.leaks;
            balance_.leaked.add(photon.weight * share_);
        }
        return hit;
    }

    void absorb(const Photon& photon, const SurfacePoint& s) {
        const Bands kept = Bands(1.0F) - around_.albedoOf(*s.material)(s.shading.toLocal(-photon.direction));
        balance_.absorbed.add(photon.weight * kept * share_);
    }

    /// A draw that counts only if it crosses an exit: balance heuristic (Veach & Guibas 1995) with the
    /// photon's own way on, which alone goes on where either meets a surface. Weights so never pile up.
    void sendTowardsAxis(const Photon& photon, const SurfacePoint& s, int vertex, PathSampler& sampler) {
        const Bsdf bsdf = untexturedBsdf(*s.material, Transport::importance);
        if (around_.withoutOnce && !photon.scattered && isWhollyRough(bsdf)) return;
        goTo(sampler, vertex, kAxis);
        Photon sent = photon;
        sent.direction = AxisDraw::sample(sampler.next2D());
        const glm::vec3 wo = s.shading.toLocal(-photon.direction), wi = s.shading.toLocal(sent.direction);
        const Bands f = evaluate(bsdf, wo, wi);
        if (f.isBlack()) return;
        const float pdf = keyfall::pdf_perSr(bsdf, wo, wi) + AxisDraw::pdf_perSr(sent.direction);
        sent.weight *= f * (1.0F / pdf);
        sent.scattered = true;
        sent.exitShare = 1.0F;
        leave(sent, s);
        ++balance_.rays;
        if (const auto crossing = crossingOf(sent, around_.stage.intersect(sent.origin_m, sent.direction)))
            count(sent, *crossing);
    }

    bool scatter(Photon& photon, const SurfacePoint& s, int vertex, PathSampler& sampler) const {
        const Bsdf bsdf = untexturedBsdf(*s.material, Transport::importance);
        goTo(sampler, vertex, kScatter);
        const glm::vec2 u = sampler.next2D();
        float choice = 0.0F;
        if (choosesLobe(bsdf)) {
            goTo(sampler, vertex, kLobe);
            choice = sampler.next1D();
        }
        const BsdfSample b = sample(bsdf, s.shading.toLocal(-photon.direction), choice, u);
        if (b.lobe == Lobe::none) return false;  // its weight is 0, and in the albedo as such
        photon.weight *= b.weight;
        const bool turns = b.lobe != Lobe::straight;
        photon.once = turns && !photon.scattered && isWhollyRough(bsdf);
        photon.scattered = photon.scattered || turns;
        photon.direction = s.shading.toWorld(b.wi);
        const bool delta = b.lobe == Lobe::specular || b.lobe == Lobe::straight;
        photon.exitShare = delta || !around_.towardsAxis
                               ? 1.0F
                               : b.pdf_perSr / (b.pdf_perSr + AxisDraw::pdf_perSr(photon.direction));
        leave(photon, s);
        return true;
    }

    /// Onto the side of the surface that the direction leads to.
    static void leave(Photon& photon, const SurfacePoint& s) {
        const float above = glm::dot(s.geometricNormal, photon.direction);
        photon.origin_m =
            Stage::offsetOrigin(s.position_m, above < 0.0F ? -s.geometricNormal : s.geometricNormal);
    }

    static bool survives(Photon& photon, int vertex, PathSampler& sampler) {
        const float largest = photon.weight.largest();
        if (vertex < kRouletteFrom) return largest > 0.0F;
        const float q = std::min(0.95F, largest);
        goTo(sampler, vertex, kRoulette);
        if (!(sampler.next1D() < q)) return false;
        photon.weight *= 1.0F / q;
        return true;
    }

    static void goTo(PathSampler& sampler, int vertex, std::uint32_t dimension) {
        sampler.goTo(kFirstVertex + kPerVertex * static_cast<std::uint32_t>(vertex) + dimension);
    }

    const Surroundings& around_;
    std::uint32_t seed_;
    std::uint32_t stream_;
    LightBalance& balance_;
    ExitSink& sink_;
    float share_ = 1.0F;
};

/// One stream, as sums over its photons; divided by their number at the end.
LightBalance traceStream(const Surroundings& around, std::uint32_t stream, std::uint32_t photons,
                         const RunSettings& run, ExitSink& sink) {
    LightBalance balance;
    Walk walk(around, run, stream, balance, sink);
    for (std::uint32_t i = 0; i < photons; ++i) {
        if (i % 1024U == 0U && run.stop != nullptr && *run.stop) break;
        walk(i);
        ++balance.photons;
    }
    const double each = balance.photons == 0 ? 0.0 : 1.0 / static_cast<double>(balance.photons);
    for (BandSums* sums : {&balance.scattered, &balance.straight, &balance.absorbed, &balance.leaked})
        sums->scale(each);
    return balance;
}

}  // namespace

void LightBalance::add(const LightBalance& o) {
    scattered.add(o.scattered);
    straight.add(o.straight);
    absorbed.add(o.absorbed);
    leaked.add(o.leaked);
    photons += o.photons;
    rays += o.rays;
    leaks += o.leaks;
    guardStops += o.guardStops;
}

std::array<LightBalance, kLightStreams> traceLight(const Stage& stage, const std::vector<ExitFace>& exits,
                                                   const LightTraceSettings& settings,
                                                   const std::array<ExitSink*, kLightStreams>& sinks) {
    const Surroundings around(stage, exits, settings);
    const std::uint32_t each = std::max(1U, std::bit_ceil(settings.photons) / std::uint32_t{kLightStreams});
    std::array<LightBalance, kLightStreams> streams;
    std::mutex telling;
    std::size_t done = 0;
    parallelTasks(settings.run.threads, kLightStreams, [&](std::size_t i) {
        LightBalance own = traceStream(around, static_cast<std::uint32_t>(i), each, settings.run, *sinks[i]);
        streams[i] = own;
        const std::lock_guard lock(telling);
        ++done;
        if (settings.run.tell) settings.run.tell({static_cast<double>(done) / kLightStreams, 0.0});
    });
    return streams;
}

LightBalance meanOf(const std::array<LightBalance, kLightStreams>& streams) {
    LightBalance mean;
    for (const LightBalance& s : streams) mean.add(s);
    for (BandSums* sums : {&mean.scattered, &mean.straight, &mean.absorbed, &mean.leaked})
        sums->scale(1.0 / kLightStreams);
    return mean;
}

}  // namespace keyfall
