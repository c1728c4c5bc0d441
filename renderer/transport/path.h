// One light path, traced from the eye (or a meter's receptor), adding what it meets to a sink.
// Not here: how many paths and where from (render.h, receptor.h); who owns which path: DEVELOPERS.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <glm/glm.hpp>

#include "renderer/optics/bsdf.h"
#include "renderer/optics/medium_stack.h"
#include "renderer/stage/stage.h"
#include "renderer/transport/camera_rays.h"
#include "renderer/transport/layers.h"
#include "renderer/transport/receptor.h"

namespace keyfall {

/// What happened on the way, for the report and for warnings.
struct PathCounters {
    std::uint64_t paths = 0;
    std::uint64_t rays = 0;          ///< nearest-hit and shadow queries
    std::uint64_t mediumMisses = 0;  ///< solids left that were never entered, stacks full
    std::uint64_t guardStops = 0;    ///< paths ended at 1000 vertices
    std::uint64_t clipped = 0;       ///< sampled directions below the true surface: lost energy

    PathCounters& operator+=(const PathCounters& o) {
        paths += o.paths;
        rays += o.rays;
        mediumMisses += o.mediumMisses;
        guardStops += o.guardStops;
        clipped += o.clipped;
        return *this;
    }
};

/// How a contribution came: what a sink may sort by.
struct Arrival {
    std::uint64_t boards = 0;  ///< bit per board touched
    bool caustic = false;      ///< rough vertex, then a smooth specular chain to the lamp
    bool specular = false;     ///< through a highlight of the first surface seen
};

/// The vertices of a path walk. `Sink` offers
///   void add(std::uint32_t layer, const Bands& transfer, const Arrival& how);
///   void addHighlight(std::uint32_t layer, const Bands& part);  // part of an add() before it
///   void firstHit(const SurfacePoint& surface);
/// and `Sampler` next2D, next1D and goTo.
///
/// Each vertex samples lamps (all of them at the first surface that is not a mirror, one of them
/// later) and continues by its BSDF; lamps found that way are weighted against the lamp sampling
/// (power heuristic, Veach & Guibas 1995). Roulette from vertex 4, never a length cap: at
/// reflectance 0.9 a cap of 8 vertices would lose 43 % of the light.
template <class Sampler, class Sink>
class Path {
  public:
    Path(const Stage& stage, const LayerTable& layers, Sampler& sampler, Sink& sink,
         PathCounters& counters)
        : stage_(stage), layers_(layers), sampler_(sampler), sink_(sink), counters_(counters) {
        ++counters_.paths;
    }

    /// From the camera: `ray` carries unit weight.
    void fromEye(const Ray& ray) {
        ray_ = ray;
        walk();
    }

    /// From a meter's receptor, along a direction drawn from its response with `u`. Lamps are
    /// sampled at the receptor, which counts as a rough vertex.
    void fromReceptor(const Receptor& receptor, glm::vec2 u) {
        seenAllLamps_ = true;
        roughBefore_ = true;
        chooseAllLamps();
        startVertex();
        ray_ = {receptor.point_m, receptor.sampleDirection(u)};
        for (std::uint32_t l = 0; l < stage_.emitters().size(); ++l) {
            const LampView view = viewLamp(stage_.emitters()[l].shape, receptor.point_m, receptor.viewNormal());
            const auto draw = keyfall::sampleLamp(view, sampler_.next2D());
            if (!draw) continue;
            const float cosine = glm::dot(receptor.axis, draw->toLight);
            const float weight = misWeight(draw->pdf_perSr, receptor.pdf_perSr(cosine));
            addLamp(l, Bands(receptor.response(cosine) * weight / draw->pdf_perSr), nullptr,
                    receptor.point_m, *draw);
        }
        const float cosine = glm::dot(receptor.axis, ray_.direction);
        const float pdf = receptor.pdf_perSr(cosine);
        if (pdf <= 0.0F) return;
        rememberVertex(receptor.point_m, receptor.viewNormal(), pdf);
        throughput_ = Bands(receptor.response(cosine) / pdf);
        walk();
    }

  private:
    static constexpr int kGuard = 1000;
    static constexpr int kRouletteFrom = 4;

    static float misWeight(float mine, float other) {
        const float a = mine * mine;
        return a / (a + other * other);
    }

    /// Lamp dimensions follow four of the surface's own: fixed places keep every vertex's numbers
    /// stratified whatever happened before it.
    void startVertex() {
        sampler_.goTo(static_cast<std::uint32_t>(vertex_ + 1) *
                      (4U + static_cast<std::uint32_t>(stage_.emitters().size())));
    }

    void walk() {
        for (vertex_ = 1; vertex_ <= kGuard; ++vertex_) {
            ++counters_.rays;
            const auto hit = stage_.intersect(ray_.origin_m, ray_.direction);
            if (!hit) return;
            const SurfacePoint s = stage_.surfaceAt(*hit, ray_.origin_m, ray_.direction);
            absorb(throughput_, hit->distance_m);
            if (vertex_ == 1) sink_.firstHit(s);
            if (s.board != kNoBoard) how_.boards |= 1ULL << s.board;
            collectEmission(s);
            startVertex();
            if (!scatter(s)) return;
        }
        ++counters_.guardStops;
    }

    void absorb(Bands& weight, float distance_m) const {
        const Material* medium = media_.current();
        if (medium == nullptr || medium->absorption_perM.isBlack()) return;
        for (int b = 0; b < kBands; ++b)
            weight[b] *= std::exp(-medium->absorption_perM[b] * distance_m);
    }

    void add(std::uint32_t layer, const Bands& transfer) { sink_.add(layer, transfer, how_); }

    void collectEmission(const SurfacePoint& s) {
        if (s.emitter != kNoEmitter && s.emits) collectLamp(s);
        if (s.isRoomWall && layers_.ambient != kNoLayer && !ambientMuted_) {
            // Ambient: every wall shows luminance E/pi, whole; what the walls would reflect of it
            // is already in E, so this path carries no more of it.
            add(layers_.ambient, throughput_ * (1.0F / 3.14159265F));
            ambientMuted_ = true;
        }
        if (layers_.glow != kNoLayer && !s.material->glow_cdm2.isBlack())
            add(layers_.glow, throughput_ * s.material->glow_cdm2);
    }

    void collectLamp(const SurfacePoint& s) {
        const Emitter& e = stage_.emitters()[s.emitter];
        float weight = 1.0F;
        if (!lastWasDelta_) {
            const LampView view = viewLamp(e.shape, lastPoint_m_, lastNormal_);
            LampHit hit;
            hit.distance_m = glm::length(s.position_m - lastPoint_m_);
            hit.normal = s.geometricNormal;
            const float lampPdf = lampChoice_[s.emitter] * pdfLamp_perSr(view, ray_.direction, hit);
            weight = misWeight(lastPdf_perSr_, lampPdf);
        }
        Arrival how = how_;
        how.caustic = roughBefore_ && lastWasDelta_;
        sink_.add(e.layer, throughput_ * (e.luminancePerFlux_perSrM2 * weight), how);
    }

    /// Shadow test and contribution of one lamp sample; `transfer` lacks only the luminance.
    /// `highlight`: the part of it that is a specular highlight, or nullptr where nobody asks.
    void addLamp(std::uint32_t emitter, const Bands& transfer, const Bands* highlight,
                 glm::vec3 from_m, const LampSample& draw) {
        if (transfer.isBlack()) return;
        const Emitter& e = stage_.emitters()[emitter];
        Bands through(e.luminancePerFlux_perSrM2);
        if (!stage_.throughSheets(from_m, draw.toLight, draw.distance_m, emitter, through, counters_.rays))
            return;
        absorb(through, draw.distance_m);
        sink_.add(e.layer, transfer * through, how_);
        if (highlight != nullptr) sink_.addHighlight(e.layer, *highlight * through);
    }

    /// Sets eta and the meaning of this surface for the media; false when the surface is inside a
    /// solid of higher priority and the path just goes on.
    bool resolveMedium(const SurfacePoint& s, Bsdf& bsdf) {
        const float own = s.material->ior;
        if (s.entering) {
            if (!media_.wouldWin(*s.material)) {
                if (!media_.enter(s.item, *s.material)) ++counters_.mediumMisses;
                return false;
            }
            bsdf.etaRatio = own / iorOf(media_.current());
            return true;
        }
        const bool current = media_.isCurrent(s.item);
        const Material* outside = media_.currentWithout(s.item);
        if (!current) {
            if (media_.leave(s.item)) return false;
            ++counters_.mediumMisses;
        }
        bsdf.etaRatio = own / iorOf(outside);
        return true;
    }
    static float iorOf(const Material* m) { return m == nullptr ? 1.0F : m->ior; }

    void passStraight(const SurfacePoint& s) {
        const float side = glm::dot(s.geometricNormal, ray_.direction) < 0.0F ? -1.0F : 1.0F;
        ray_.origin_m = Stage::offsetOrigin(s.position_m, side * s.geometricNormal);
    }

    bool scatter(const SurfacePoint& s) {
        Bsdf bsdf = layers_.bsdfAt(s);
        const bool solidGlass = s.material->base == Base::glass && !s.material->thin;
        if (solidGlass && !resolveMedium(s, bsdf)) {
            passStraight(s);
            return true;
        }
        const glm::vec3 wo = s.shading.toLocal(-ray_.direction);
        const glm::vec2 direction = sampler_.next2D();
        const glm::vec2 choices = sampler_.next2D();
        if (hasSmoothLobe(bsdf)) sampleLamps(s, bsdf, wo);

        const BsdfSample b = sample(bsdf, wo, choices.x, direction);
        if (b.lobe == Lobe::none) return false;
        const glm::vec3 wi = s.shading.toWorld(b.wi);
        const float above = glm::dot(s.geometricNormal, wi);
        const float seenFrom = glm::dot(s.geometricNormal, -ray_.direction);
        if ((above * seenFrom > 0.0F) == b.transmitted) {
            ++counters_.clipped;
            return false;
        }
        throughput_ *= b.weight;
        if (vertex_ >= kRouletteFrom && !survives(choices.y)) return false;
        advance(s, bsdf, b, wi, above);
        return true;
    }

    bool survives(float u) {
        const float q = std::min(0.95F, throughput_.largest());
        if (!(u < q)) return false;
        throughput_ *= 1.0F / q;
        return true;
    }

    void advance(const SurfacePoint& s, const Bsdf& bsdf, const BsdfSample& b, glm::vec3 wi,
                 float above) {
        const glm::vec3 point_m = b.transmitted ? s.position_m : s.position_m + s.lift_m;
        ray_.origin_m = Stage::offsetOrigin(point_m, above < 0.0F ? -s.geometricNormal : s.geometricNormal);
        ray_.direction = wi;
        if (b.transmitted && s.material->base == Base::glass && !s.material->thin) {
            const bool noted = s.entering ? media_.enter(s.item, *s.material) : media_.leave(s.item);
            if (!noted) ++counters_.mediumMisses;
        }
        if (vertex_ == 1 && s.isProduct && !b.transmitted)
            how_.specular = b.lobe == Lobe::glossy || b.lobe == Lobe::specular;
        if (b.lobe == Lobe::straight) return;  // same direction: the draw before still owns it
        if (b.lobe == Lobe::specular) {
            lastWasDelta_ = true;
            return;
        }
        roughBefore_ = roughBefore_ || isRough(bsdf);
        rememberVertex(s.position_m + s.lift_m, viewNormalOf(s), b.pdf_perSr);
    }

    void rememberVertex(glm::vec3 point_m, glm::vec3 viewNormal, float pdf_perSr) {
        lastPoint_m_ = point_m;
        lastNormal_ = viewNormal;
        lastPdf_perSr_ = pdf_perSr;
        lastWasDelta_ = false;
    }

    /// The receiver's normal for lamp sampling; 0 where light may come from both sides.
    glm::vec3 viewNormalOf(const SurfacePoint& s) const {
        const bool twoSided = s.material->base == Base::sheet || s.material->base == Base::glass;
        return twoSided ? glm::vec3(0.0F) : s.shading.z;
    }

    void sampleLamps(const SurfacePoint& s, const Bsdf& bsdf, glm::vec3 wo) {
        const auto count = static_cast<std::uint32_t>(stage_.emitters().size());
        if (count == 0) return;
        const glm::vec3 from_m = s.position_m + s.lift_m;
        if (!seenAllLamps_ || count == 1) {
            seenAllLamps_ = true;
            chooseAllLamps();
            for (std::uint32_t l = 0; l < count; ++l) sampleLamp(l, s, bsdf, wo, from_m);
            return;
        }
        fillLampChoice(from_m, viewNormalOf(s));
        float u = sampler_.next1D();
        for (std::uint32_t l = 0; l < count; ++l) {
            u -= lampChoice_[l];
            if (u >= 0.0F && l + 1 < count) continue;
            sampleLamp(l, s, bsdf, wo, from_m);
            return;
        }
    }

    void chooseAllLamps() { std::fill_n(lampChoice_.begin(), stage_.emitters().size(), 1.0F); }

    /// Choice by what the lamps would send unshaded, at equal flux: cos/d^2, with a tenth of the
    /// draws spread evenly so that no lamp is starved.
    void fillLampChoice(glm::vec3 from_m, glm::vec3 normal) {
        const std::size_t count = stage_.emitters().size();
        float sum = 0.0F;
        for (std::size_t l = 0; l < count; ++l) {
            const glm::vec3 to = stage_.emitters()[l].centre_m - from_m;
            const float d2 = std::max(glm::dot(to, to), 1e-6F);
            const float cosine = std::max(0.1F, glm::dot(normal, to) / std::sqrt(d2));
            lampChoice_[l] = cosine / d2;
            sum += lampChoice_[l];
        }
        for (std::size_t l = 0; l < count; ++l)
            lampChoice_[l] = 0.9F * lampChoice_[l] / sum + 0.1F / static_cast<float>(count);
    }

    void sampleLamp(std::uint32_t l, const SurfacePoint& s, const Bsdf& bsdf, glm::vec3 wo,
                    glm::vec3 from_m) {
        const LampView view = viewLamp(stage_.emitters()[l].shape, from_m, viewNormalOf(s));
        const auto draw = keyfall::sampleLamp(view, sampler_.next2D());
        if (!draw) return;
        const float above = glm::dot(s.geometricNormal, draw->toLight);
        const glm::vec3 wi = s.shading.toLocal(draw->toLight);
        const bool sameSide = above * glm::dot(s.geometricNormal, -ray_.direction) > 0.0F;
        if (sameSide != (wi.z * wo.z > 0.0F)) return;  // below the true surface, above the smooth
        const float lampPdf = lampChoice_[l] * draw->pdf_perSr;
        const float scale = misWeight(lampPdf, pdf_perSr(bsdf, wo, wi)) / lampPdf;
        const glm::vec3 origin_m = Stage::offsetOrigin(
            sameSide ? from_m : s.position_m, above < 0.0F ? -s.geometricNormal : s.geometricNormal);
        if (vertex_ == 1 && s.isProduct && layers_.wantsSplit) {
            const SplitValue f = evaluateSplit(bsdf, wo, wi);
            const Bands highlight = throughput_ * f.specular * scale;
            addLamp(l, highlight + throughput_ * f.diffuse * scale, &highlight, origin_m, *draw);
            return;
        }
        addLamp(l, throughput_ * evaluate(bsdf, wo, wi) * scale, nullptr, origin_m, *draw);
    }

    const Stage& stage_;
    const LayerTable& layers_;
    Sampler& sampler_;
    Sink& sink_;
    PathCounters& counters_;

    Ray ray_;
    Bands throughput_{1.0F};
    Arrival how_;
    MediumStack media_;
    int vertex_ = 0;
    bool seenAllLamps_ = false;
    bool roughBefore_ = false;
    bool ambientMuted_ = false;
    // The last vertex that drew a direction with a density: what a lamp hit is weighted against.
    bool lastWasDelta_ = true;
    float lastPdf_perSr_ = 0.0F;
    glm::vec3 lastPoint_m_{0.0F};
    glm::vec3 lastNormal_{0.0F};
    std::array<float, kMaxLights> lampChoice_;  // as many as lamps are set before any is read
};

}  // namespace keyfall
