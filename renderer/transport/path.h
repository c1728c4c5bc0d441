// One light path, traced from the eye (or a meter's receptor), adding what it meets to a sink.
// Not here: how many paths and where from (render.h, receptor.h); who owns which path: DEVELOPERS.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <glm/glm.hpp>
#include <numbers>

#include "renderer/optics/bsdf.h"
#include "renderer/stage/stage.h"
#include "renderer/transport/camera_rays.h"
#include "renderer/transport/lamp_choice.h"
#include "renderer/transport/lamp_reach.h"
#include "renderer/transport/last_vertex.h"
#include "renderer/transport/layers.h"
#include "renderer/transport/path_state.h"
#include "renderer/transport/receptor.h"

namespace keyfall {

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
        : stage_(stage), layers_(layers), sampler_(sampler), sink_(sink), counters_(counters),
          lampCount_(static_cast<std::uint32_t>(stage.emitters().size())),
          mirrorCount_(static_cast<int>(stage.mirrors().size())), reach_(stage, layers, counters),
          media_(counters), last_(stage, reach_) {
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
        forAllLamps([&](LampTarget target) { lampAtReceptor(receptor, target); });
        ray_ = {receptor.point_m, receptor.sampleDirection(u)};
        const float cosine = glm::dot(receptor.axis, ray_.direction);
        const float pdf = receptor.pdf_perSr(cosine);
        if (pdf <= 0.0F) return;
        last_.drew({receptor.point_m, receptor.viewNormal(), pdf, kNoEmitter, true});
        throughput_ = Bands(receptor.response(cosine) / pdf);
        walk();
    }

  private:
    static constexpr int kGuard = 1000;
    static constexpr int kRouletteFrom = 4;

    /// The places of a vertex's random numbers, the same whatever happened before it: that keeps
    /// each of them stratified. From kLamp on, one for each lamp and each of its images.
    enum Dimension : std::uint32_t { kDirection, kLobe, kRoulette, kPick, kLamp };
    void goTo(std::uint32_t dimension) {
        const std::uint32_t all = kLamp + lampCount_ * static_cast<std::uint32_t>(1 + mirrorCount_);
        sampler_.goTo(static_cast<std::uint32_t>(vertex_ + 1) * all + dimension);
    }
    std::uint32_t dimensionOf(LampTarget t) const {
        return kLamp + static_cast<std::uint32_t>(t.mirror + 1) * lampCount_ + t.lamp;
    }

    /// Every lamp, and every lamp in every flat mirror.
    template <class Use>
    void forAllLamps(const Use& use) const {
        for (int mirror = kNoMirror; mirror < mirrorCount_; ++mirror)
            for (std::uint32_t l = 0; l < lampCount_; ++l) use(LampTarget{l, mirror});
    }

    void walk() {
        for (vertex_ = 1; vertex_ <= kGuard; ++vertex_) {
            ++counters_.rays;
            const auto hit = stage_.intersect(ray_.origin_m, ray_.direction);
            if (!hit) return;
            const SurfacePoint s = stage_.surfaceAt(*hit, ray_.origin_m, ray_.direction);
            absorb(throughput_, media_.here(), hit->distance_m);
            if (vertex_ == 1) sink_.firstHit(s);
            if (s.board != kNoBoard) how_.boards |= 1ULL << s.board;
            collectEmission(s);
            if (!scatter(s) || !survives()) return;
        }
        ++counters_.guardStops;
    }

    void collectEmission(const SurfacePoint& s) {
        if (s.emitter != kNoEmitter && s.emits) collectLamp(s);
        if (s.isRoomWall && layers_.ambient != kNoLayer && !ambientMuted_) {
            // Ambient: every wall shows luminance E/pi, whole; what the walls would reflect of it
            // is already in E, so this path carries no more of it.
            sink_.add(layers_.ambient, throughput_ * std::numbers::inv_pi_v<float>, how_);
            ambientMuted_ = true;
        }
        if (layers_.glow != kNoLayer && !s.material->glow_cdm2.isBlack())
            sink_.add(layers_.glow, throughput_ * s.material->glow_cdm2, how_);
    }

    void collectLamp(const SurfacePoint& s) {
        const LastVertex::Share share = last_.shareOf(s, ray_.direction);
        if (share.weight <= 0.0F) return;
        const Emitter& e = stage_.emitters()[s.emitter];
        Arrival how = how_;
        how.caustic = roughBefore_ && share.alone;
        sink_.add(e.layer, throughput_ * (e.luminancePerFlux_perSrM2 * share.weight), how);
    }

    /// Goes straight on as if the surface were not there. Shadow tests stop at it all the same, so
    /// the light beyond belongs to this path alone, as after a mirror.
    void passStraight(const SurfacePoint& s) {
        const float side = glm::dot(s.geometricNormal, ray_.direction) < 0.0F ? -1.0F : 1.0F;
        ray_.origin_m = Stage::offsetOrigin(s.position_m, side * s.geometricNormal);
        last_.passedSolid();
    }

    bool scatter(const SurfacePoint& s) {
        Bsdf bsdf = layers_.bsdfAt(s);
        if (PathMedia::isSolidGlass(s) && !media_.resolve(s, bsdf)) {
            passStraight(s);
            return true;
        }
        const glm::vec3 wo = s.shading.toLocal(-ray_.direction);
        bool sawAllLamps = false;
        if (hasSmoothLobe(bsdf)) sawAllLamps = sampleLamps(s, bsdf, wo);

        goTo(kDirection);
        const glm::vec2 direction = sampler_.next2D();
        const BsdfSample b = sample(bsdf, wo, choosesLobe(bsdf) ? lobeNumber() : 0.0F, direction);
        if (b.lobe == Lobe::none) return false;
        const glm::vec3 wi = s.shading.toWorld(b.wi);
        const float above = glm::dot(s.geometricNormal, wi);
        const float seenFrom = glm::dot(s.geometricNormal, -ray_.direction);
        if ((above * seenFrom > 0.0F) == b.transmitted) {
            ++counters_.clipped;
            return false;
        }
        throughput_ *= b.weight;
        advance(s, bsdf, b, wi, above);
        noteDraw(s, b, sawAllLamps);
        return true;
    }

    float lobeNumber() {
        goTo(kLobe);
        return sampler_.next1D();
    }

    /// Radiance inside glass is n^2 times what it will be outside: what counts is what comes of it.
    bool survives() {
        const float largest = throughput_.largest();
        if (vertex_ < kRouletteFrom) return largest > 0.0F;
        const float n = media_.iorHere();
        const float q = std::min(0.95F, largest * n * n);
        goTo(kRoulette);
        if (!(sampler_.next1D() < q)) return false;
        throughput_ *= 1.0F / q;
        return true;
    }

    void advance(const SurfacePoint& s, const Bsdf& bsdf, const BsdfSample& b, glm::vec3 wi, float above) {
        const glm::vec3 point_m = b.transmitted ? s.position_m : s.position_m + s.lift_m;
        ray_.origin_m = Stage::offsetOrigin(point_m, above < 0.0F ? -s.geometricNormal : s.geometricNormal);
        ray_.direction = wi;
        if (!b.transmitted) {
            if (vertex_ == 1 && s.isProduct)
                how_.specular = b.lobe == Lobe::glossy || b.lobe == Lobe::specular;
        } else if (PathMedia::isSolidGlass(s)) {
            media_.cross(s);
        }
        const bool drawn = b.lobe != Lobe::specular && b.lobe != Lobe::straight;
        roughBefore_ = roughBefore_ || (drawn && isRough(bsdf));
    }

    void noteDraw(const SurfacePoint& s, const BsdfSample& b, bool sawAllLamps) {
        if (b.lobe == Lobe::specular) last_.turnedAt(s);
        else if (b.lobe != Lobe::straight)
            last_.drew({s.position_m + s.lift_m, viewNormalOf(s), b.pdf_perSr, s.emitter, sawAllLamps});
        else if (PathMedia::isSolidGlass(s)) last_.passedSolid();  // index-matched: no turn
        else last_.passedSheet();
    }

    static bool isTwoSided(const SurfacePoint& s) {
        return s.material->base == Base::sheet || s.material->base == Base::glass;
    }
    /// The receiver's normal for lamp sampling; 0 where light may come from both sides.
    static glm::vec3 viewNormalOf(const SurfacePoint& s) {
        return isTwoSided(s) ? glm::vec3(0.0F) : s.shading.z;
    }

    /// True when every lamp was sampled, false when one was drawn.
    bool sampleLamps(const SurfacePoint& s, const Bsdf& bsdf, glm::vec3 wo) {
        const glm::vec3 from_m = s.position_m + s.lift_m;
        if (!seenAllLamps_ || lampCount_ <= 1) {
            seenAllLamps_ = true;
            forAllLamps([&](LampTarget t) { sampleLamp(t, 1.0F, dimensionOf(t), s, bsdf, wo, from_m); });
            return true;
        }
        goTo(kPick);
        const LampChooser chooser(stage_.emitters(), from_m, viewNormalOf(s));
        const LampChoice choice = chooser.draw(sampler_.next1D());
        sampleLamp({choice.lamp}, choice.probability, kLamp, s, bsdf, wo, from_m);
        return false;
    }

    void sampleLamp(LampTarget target, float probability, std::uint32_t dimension, const SurfacePoint& s,
                    const Bsdf& bsdf, glm::vec3 wo, glm::vec3 from_m) {
        const Emitter& e = stage_.emitters()[target.lamp];
        const LampShape& shape = reach_.shape(target);
        if (target.lamp == s.emitter && target.mirror == kNoMirror) return;
        // No part of the lamp's bounding sphere is above the receiver's plane.
        if (glm::dot(shape.centre_m - from_m, viewNormalOf(s)) < -e.boundingRadius_m) return;
        const LampView view = viewLamp(shape, from_m, viewNormalOf(s));
        goTo(dimension);
        const auto draw = keyfall::sampleLamp(view, sampler_.next2D());
        if (!draw) return;
        const float above = glm::dot(s.geometricNormal, draw->toLight);
        const glm::vec3 wi = s.shading.toLocal(draw->toLight);
        const bool sameSide = above * glm::dot(s.geometricNormal, -ray_.direction) > 0.0F;
        if (sameSide != (wi.z * wo.z > 0.0F)) return;  // below the true surface, above the smooth
        if (!sameSide && !isTwoSided(s)) return;
        const float lampPdf = probability * draw->pdf_perSr;
        Bands incident(misWeight(lampPdf, pdf_perSr(bsdf, wo, wi)) / lampPdf);
        const glm::vec3 origin_m = Stage::offsetOrigin(
            sameSide ? from_m : s.position_m, above < 0.0F ? -s.geometricNormal : s.geometricNormal);
        const bool beyond = !sameSide && PathMedia::isSolidGlass(s);
        // The lobe comes last: many shadow tests find something in the way, and it is not needed.
        const Material* medium = beyond ? media_.beyond(s) : media_.here();
        Arrival how = how_;
        if (!reach_.reaches(target, origin_m, *draw, medium, incident, how.boards)) return;
        incident *= throughput_;
        if (vertex_ == 1 && s.isProduct && layers_.wantsSplit) {
            const SplitValue f = evaluateSplit(bsdf, wo, wi);
            sink_.add(e.layer, incident * (f.diffuse + f.specular), how);
            sink_.addHighlight(e.layer, incident * f.specular);
            return;
        }
        sink_.add(e.layer, incident * evaluate(bsdf, wo, wi), how);
    }

    void lampAtReceptor(const Receptor& receptor, LampTarget target) {
        goTo(dimensionOf(target));
        const LampView view = viewLamp(reach_.shape(target), receptor.point_m, receptor.viewNormal());
        const auto draw = keyfall::sampleLamp(view, sampler_.next2D());
        if (!draw) return;
        const float cosine = glm::dot(receptor.axis, draw->toLight);
        const float response = receptor.response(cosine);
        if (response <= 0.0F) return;
        Bands transfer(response * misWeight(draw->pdf_perSr, receptor.pdf_perSr(cosine)) / draw->pdf_perSr);
        Arrival how = how_;
        if (reach_.reaches(target, receptor.point_m, *draw, media_.here(), transfer, how.boards))
            sink_.add(stage_.emitters()[target.lamp].layer, transfer, how);
    }

    const Stage& stage_;
    const LayerTable& layers_;
    Sampler& sampler_;
    Sink& sink_;
    PathCounters& counters_;
    const std::uint32_t lampCount_;
    const int mirrorCount_;
    const LampReach reach_;

    Ray ray_;
    Bands throughput_{1.0F};
    Arrival how_;
    PathMedia media_;
    LastVertex last_;
    int vertex_ = 0;
    bool seenAllLamps_ = false;
    bool roughBefore_ = false;
    bool ambientMuted_ = false;
};

}  // namespace keyfall
