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
/// Ways on from a photon's first surface: half of the rays of a bowl would else lead there alone.
constexpr std::uint32_t kWays = 4;

/// The places of a photon's random numbers, the same whatever happened before: each stays stratified.
enum Dimension : std::uint32_t { kPosition, kDirection, kFirstVertex };
enum VertexDimension : std::uint32_t { kScatter, kLobe, kRoulette, kTechnique, kPerVertex };
/// Emission drawn again, beyond the numbers of any vertex.
constexpr std::uint32_t kAgain = kFirstVertex + kPerVertex * (kGuard + 1U);

/// What all photons share.
struct Surroundings {
    const Stage& stage;
    const LampShape& lamp;
    ExitPlanes exits;
    bool towardsAxis;
    std::vector<std::optional<DirectionalAlbedo>> albedo;  ///< of each of the scene's materials

    Surroundings(const Stage& s, const std::vector<ExitFace>& faces, const LightTraceSettings& settings)
        : stage(s), lamp(s.emitters().front().shape), exits(faces), towardsAxis(settings.towardsAxis),
          albedo(s.scene().materials.size()) {
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
};

class Walk {
  public:
    Walk(const Surroundings& around, const RunSettings& run, std::uint32_t stream, LightBalance& balance,
         ExitSink& sink)
        : around_(around), seed_(run.seed), stream_(stream), balance_(balance), sink_(sink) {}

    /// One photon: together to its first surface, from there kWays ways, each with its share of the light;
    /// every other one towards the axis, where that is asked for.
    void operator()(std::uint32_t index) {
        PathSampler sampler(seed_, stream_, index);
        const EmittedRay start = emit(around_.lamp, sampler);
        Photon photon{Stage::offsetOrigin(start.origin_m, start.normal), start.direction};
        share_ = 1.0F;
        const auto hit = travel(photon);
        if (!hit) return;
        const SurfacePoint s = around_.stage.surfaceAt(*hit, photon.origin_m, photon.direction);
        absorb(photon, s);
        share_ = 1.0F / kWays;
        for (std::uint32_t way = 0; way < kWays; ++way) {
            Photon own = photon;
            // The ways of all photons are one net of directions.
            sampler = PathSampler(seed_, stream_, index * kWays + way);
            if (scatter(own, s, 1, sampler, around_.towardsAxis && way % 2U == 1U)) goOn(own, sampler);
        }
    }

  private:
    void goOn(Photon& photon, PathSampler& sampler) {
        for (int vertex = 2; vertex <= kGuard; ++vertex) {
            const auto hit = travel(photon);
            if (!hit) return;
            const SurfacePoint s = around_.stage.surfaceAt(*hit, photon.origin_m, photon.direction);
            absorb(photon, s);
            goTo(sampler, vertex, kTechnique);
            const bool towardsAxis = around_.towardsAxis && sampler.next1D() < 0.5F;
            if (!scatter(photon, s, vertex, sampler, towardsAxis) || !survives(photon, vertex, sampler)) return;
        }
        ++balance_.guardStops;
    }

    /// To the next surface; empty where the photon leaves before it.
    std::optional<RayHit> travel(const Photon& photon) {
        ++balance_.rays;
        const auto hit = around_.stage.intersect(photon.origin_m, photon.direction);
        const auto crossing = around_.exits.first(photon.origin_m, photon.direction);
        if (crossing && !(hit && ExitPlanes::isBefore(hit->distance_m, *crossing))) {
            const Bands flux = photon.weight * share_;
            (photon.scattered ? balance_.scattered : balance_.straight).add(flux);
            if (photon.scattered) sink_.add(crossing->at, flux);
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

    bool scatter(Photon& photon, const SurfacePoint& s, int vertex, PathSampler& sampler, bool towardsAxis) {
        Bsdf bsdf;
        bsdf.material = s.material;
        bsdf.reflectance = s.material->reflectance;
        bsdf.transport = Transport::importance;
        const glm::vec3 wo = s.shading.toLocal(-photon.direction);
        goTo(sampler, vertex, kScatter);
        const glm::vec2 u = sampler.next2D();
        if (towardsAxis) {
            photon.direction = AxisDraw::sample(u);
            const glm::vec3 wi = s.shading.toLocal(photon.direction);
            const float pdf = 0.5F * (keyfall::pdf_perSr(bsdf, wo, wi) + AxisDraw::pdf_perSr(photon.direction));
            photon.weight *= evaluate(bsdf, wo, wi) * (1.0F / pdf);
            photon.scattered = true;
        } else {
            float choice = 0.0F;
            if (choosesLobe(bsdf)) {
                goTo(sampler, vertex, kLobe);
                choice = sampler.next1D();
            }
            const BsdfSample b = sample(bsdf, wo, choice, u);
            if (b.lobe == Lobe::none) return false;  // its weight is 0, and in the albedo as such
            photon.direction = s.shading.toWorld(b.wi);
            photon.weight *= b.weight;
            if (around_.towardsAxis) photon.weight *= shareBesideAxis(b, photon.direction);
            photon.scattered = photon.scattered || b.lobe != Lobe::straight;
        }
        const float above = glm::dot(s.geometricNormal, photon.direction);
        photon.origin_m =
            Stage::offsetOrigin(s.position_m, above < 0.0F ? -s.geometricNormal : s.geometricNormal);
        return !photon.weight.isBlack();
    }

    /// Balance heuristic (Veach & Guibas 1995) of two techniques used half and half; a delta has one.
    static float shareBesideAxis(const BsdfSample& b, glm::vec3 direction) {
        if (b.lobe == Lobe::specular || b.lobe == Lobe::straight) return 2.0F;
        return 2.0F * b.pdf_perSr / (b.pdf_perSr + AxisDraw::pdf_perSr(direction));
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
