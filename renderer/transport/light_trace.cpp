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
#include "renderer/transport/exit_planes.h"

namespace keyfall {
namespace {

constexpr int kGuard = 1000;
constexpr int kRouletteFrom = 4;

/// The places of a photon's random numbers, the same whatever happened before: each stays stratified.
enum Dimension : std::uint32_t { kPosition, kDirection, kFirstVertex };
enum VertexDimension : std::uint32_t { kScatter, kLobe, kRoulette, kPerVertex };
/// Emission drawn again, beyond the numbers of any vertex.
constexpr std::uint32_t kAgain = kFirstVertex + kPerVertex * (kGuard + 1U);

/// What all photons share.
struct Surroundings {
    const Stage& stage;
    const LampShape& lamp;
    ExitPlanes exits;
    std::vector<DirectionalAlbedo> albedo;  ///< of each of the scene's materials

    Surroundings(const Stage& s, const std::vector<ExitFace>& faces)
        : stage(s), lamp(s.emitters().front().shape), exits(faces) {
        for (const Item& item : s.scene().items)
            if (!item.mesh.normal.empty())
                throw std::invalid_argument("light trace: '" + item.name +
                                            "' has vertex normals; allowed are flat facets");
        for (const Material& m : s.scene().materials) albedo.emplace_back(m);
    }
    const DirectionalAlbedo& albedoOf(const Material& m) const {
        return albedo[static_cast<std::size_t>(&m - stage.scene().materials.data())];
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

class Photon {
  public:
    Photon(const Surroundings& around, PathSampler sampler, LightBalance& balance, ExitSink& sink)
        : around_(around), sampler_(sampler), balance_(balance), sink_(sink) {}

    void walk() {
        const EmittedRay start = emit(around_.lamp, sampler_);
        direction_ = start.direction;
        origin_m_ = Stage::offsetOrigin(start.origin_m, start.normal);
        for (vertex_ = 1; vertex_ <= kGuard; ++vertex_) {
            ++balance_.rays;
            const auto hit = around_.stage.intersect(origin_m_, direction_);
            if (leaves(hit)) return;
            if (!scatter(*hit) || !survives()) return;
        }
        ++balance_.guardStops;
    }

  private:
    bool leaves(const std::optional<RayHit>& hit) {
        const auto crossing = around_.exits.first(origin_m_, direction_);
        if (crossing && !(hit && ExitPlanes::isBefore(hit->distance_m, *crossing))) {
            (scattered_ ? balance_.scattered : balance_.straight).add(weight_);
            if (scattered_) sink_.add(crossing->at, weight_);
            return true;
        }
        if (hit) return false;
        ++balance_.leaks;
        balance_.leaked.add(weight_);
        return true;
    }

    bool scatter(const RayHit& hit) {
        const SurfacePoint s = around_.stage.surfaceAt(hit, origin_m_, direction_);
        const glm::vec3 wo = s.shading.toLocal(-direction_);
        balance_.absorbed.add(weight_ * (Bands(1.0F) - around_.albedoOf(*s.material)(wo)));
        Bsdf bsdf;
        bsdf.material = s.material;
        bsdf.reflectance = s.material->reflectance;
        bsdf.transport = Transport::importance;
        goTo(kScatter);
        const glm::vec2 u = sampler_.next2D();
        const BsdfSample b = sample(bsdf, wo, choosesLobe(bsdf) ? lobeNumber() : 0.0F, u);
        if (b.lobe == Lobe::none) return false;  // its weight is 0, and in the albedo as such
        weight_ *= b.weight;
        scattered_ = scattered_ || b.lobe != Lobe::straight;
        direction_ = s.shading.toWorld(b.wi);
        const float above = glm::dot(s.geometricNormal, direction_);
        origin_m_ = Stage::offsetOrigin(s.position_m, above < 0.0F ? -s.geometricNormal : s.geometricNormal);
        return true;
    }

    bool survives() {
        const float largest = weight_.largest();
        if (vertex_ < kRouletteFrom) return largest > 0.0F;
        const float q = std::min(0.95F, largest);
        goTo(kRoulette);
        if (!(sampler_.next1D() < q)) return false;
        weight_ *= 1.0F / q;
        return true;
    }

    float lobeNumber() {
        goTo(kLobe);
        return sampler_.next1D();
    }
    void goTo(std::uint32_t dimension) {
        sampler_.goTo(kFirstVertex + kPerVertex * static_cast<std::uint32_t>(vertex_) + dimension);
    }

    const Surroundings& around_;
    PathSampler sampler_;
    LightBalance& balance_;
    ExitSink& sink_;
    glm::vec3 origin_m_{0.0F};
    glm::vec3 direction_{0.0F};
    Bands weight_{1.0F};
    int vertex_ = 0;
    bool scattered_ = false;
};

/// One stream, as sums over its photons; divided by their number at the end.
LightBalance traceStream(const Surroundings& around, std::uint32_t stream, std::uint32_t photons,
                         const RunSettings& run, ExitSink& sink) {
    LightBalance balance;
    for (std::uint32_t i = 0; i < photons; ++i) {
        if (i % 1024U == 0U && run.stop != nullptr && *run.stop) break;
        Photon(around, PathSampler(run.seed, stream, i), balance, sink).walk();
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
    const Surroundings around(stage, exits);
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
