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
          lampCount_(static_cast<std::uint32_t>(stage.emitters().size())), media_(counters) {
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
        for (std::uint32_t l = 0; l < lampCount_; ++l) lampAtReceptor(receptor, l);
        ray_ = {receptor.point_m, receptor.sampleDirection(u)};
        const float cosine = glm::dot(receptor.axis, ray_.direction);
        const float pdf = receptor.pdf_perSr(cosine);
        if (pdf <= 0.0F) return;
        rememberVertex({receptor.point_m, receptor.viewNormal(), pdf, kNoEmitter, true});
        throughput_ = Bands(receptor.response(cosine) / pdf);
        walk();
    }

  private:
    static constexpr int kGuard = 1000;
    static constexpr int kRouletteFrom = 4;

    /// The places of a vertex's random numbers, the same whatever happened before it: that keeps
    /// each of them stratified. From kLamp on, one for each lamp.
    enum Dimension : std::uint32_t { kDirection, kLobe, kRoulette, kPick, kLamp };
    void goTo(std::uint32_t dimension) {
        sampler_.goTo(static_cast<std::uint32_t>(vertex_ + 1) * (kLamp + lampCount_) + dimension);
    }

    /// The vertex that last drew a direction with a density: what a lamp hit is weighted against.
    struct Vertex {
        glm::vec3 point_m{0.0F};
        glm::vec3 normal{0.0F};             ///< the receiver's; 0: light may come from both sides
        float pdf_perSr = 0.0F;
        std::uint32_t ownLamp = kNoEmitter; ///< the vertex lies on this lamp's body
        bool sawAllLamps = false;           ///< else it drew one of them
    };

    static float misWeight(float mine, float other) {
        const float a = mine * mine;
        return a / (a + other * other);
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
        if (s.emitter == last_.ownLamp) return;
        const Emitter& e = stage_.emitters()[s.emitter];
        float weight = 1.0F;
        if (!lastWasDelta_) {
            const LampView view = viewLamp(e.shape, last_.point_m, last_.normal);
            LampHit hit;
            hit.distance_m = glm::length(s.position_m - last_.point_m);
            hit.normal = s.geometricNormal;
            weight = misWeight(last_.pdf_perSr, lastChoice(s.emitter) * pdfLamp_perSr(view, ray_.direction, hit));
        }
        Arrival how = how_;
        how.caustic = roughBefore_ && lastWasDelta_;
        sink_.add(e.layer, throughput_ * (e.luminancePerFlux_perSrM2 * weight), how);
    }

    /// The probability with which the last vertex sampled this lamp.
    float lastChoice(std::uint32_t lamp) const {
        if (last_.sawAllLamps) return 1.0F;
        return LampChooser(stage_.emitters(), last_.point_m, last_.normal).probability(lamp);
    }

    /// The shadow test of a lamp sample; where light arrives, `transfer` takes on the lamp's
    /// luminance and what sheets and the medium leave of it.
    bool reaches(std::uint32_t lamp, glm::vec3 from_m, const LampSample& draw, const Material* medium,
                 Bands& transfer) {
        transfer *= stage_.emitters()[lamp].luminancePerFlux_perSrM2;
        if (!stage_.throughSheets(from_m, draw.toLight, draw.distance_m, lamp, transfer, counters_.rays))
            return false;
        absorb(transfer, medium, draw.distance_m);
        return true;
    }

    /// Goes straight on as if the surface were not there. Shadow tests stop at it all the same, so
    /// the light beyond belongs to this path alone, as after a mirror.
    void passStraight(const SurfacePoint& s) {
        const float side = glm::dot(s.geometricNormal, ray_.direction) < 0.0F ? -1.0F : 1.0F;
        ray_.origin_m = Stage::offsetOrigin(s.position_m, side * s.geometricNormal);
        lastWasDelta_ = true;
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
        if (b.lobe != Lobe::straight) noteDraw(s, b, sawAllLamps);
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
            // Index-matched: unturned, but no shadow test passes here.
            if (b.lobe == Lobe::straight) lastWasDelta_ = true;
        }
        roughBefore_ = roughBefore_ || (b.lobe != Lobe::specular && b.lobe != Lobe::straight && isRough(bsdf));
    }

    /// Straight through a sheet, the draw before still owns the light; else this one does. A lamp's
    /// own body lit by the lamp (a ring's inside) is left out here and in sampleLamp: its lumens are
    /// what leaves it, and that light never does.
    void noteDraw(const SurfacePoint& s, const BsdfSample& b, bool sawAllLamps) {
        last_.ownLamp = s.emitter;
        lastWasDelta_ = b.lobe == Lobe::specular;
        if (!lastWasDelta_)
            last_ = {s.position_m + s.lift_m, viewNormalOf(s), b.pdf_perSr, s.emitter, sawAllLamps};
    }
    void rememberVertex(const Vertex& v) {
        last_ = v;
        lastWasDelta_ = false;
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
            for (std::uint32_t l = 0; l < lampCount_; ++l) sampleLamp({l, 1.0F}, kLamp + l, s, bsdf, wo, from_m);
            return true;
        }
        goTo(kPick);
        const LampChooser chooser(stage_.emitters(), from_m, viewNormalOf(s));
        sampleLamp(chooser.draw(sampler_.next1D()), kLamp, s, bsdf, wo, from_m);
        return false;
    }

    /// No part of the lamp's bounding sphere is above the receiver's plane.
    static bool isBelow(const Emitter& e, glm::vec3 from_m, glm::vec3 normal) {
        return glm::dot(e.centre_m - from_m, normal) < -e.boundingRadius_m;
    }

    void sampleLamp(const LampChoice& choice, std::uint32_t dimension, const SurfacePoint& s,
                    const Bsdf& bsdf, glm::vec3 wo, glm::vec3 from_m) {
        const Emitter& e = stage_.emitters()[choice.lamp];
        if (choice.lamp == s.emitter || isBelow(e, from_m, viewNormalOf(s))) return;
        const LampView view = viewLamp(e.shape, from_m, viewNormalOf(s));
        goTo(dimension);
        const auto draw = keyfall::sampleLamp(view, sampler_.next2D());
        if (!draw) return;
        const float above = glm::dot(s.geometricNormal, draw->toLight);
        const glm::vec3 wi = s.shading.toLocal(draw->toLight);
        const bool sameSide = above * glm::dot(s.geometricNormal, -ray_.direction) > 0.0F;
        if (sameSide != (wi.z * wo.z > 0.0F)) return;  // below the true surface, above the smooth
        if (!sameSide && !isTwoSided(s)) return;
        const float lampPdf = choice.probability * draw->pdf_perSr;
        Bands incident(misWeight(lampPdf, pdf_perSr(bsdf, wo, wi)) / lampPdf);
        const glm::vec3 origin_m = Stage::offsetOrigin(
            sameSide ? from_m : s.position_m, above < 0.0F ? -s.geometricNormal : s.geometricNormal);
        const bool beyond = !sameSide && PathMedia::isSolidGlass(s);
        // The lobe comes last: many shadow tests find something in the way, and it is not needed.
        if (!reaches(choice.lamp, origin_m, *draw, beyond ? media_.beyond(s) : media_.here(), incident)) return;
        addReflected(e.layer, s, incident *= throughput_, bsdf, wo, wi);
    }

    void addReflected(std::uint32_t layer, const SurfacePoint& s, const Bands& incident,
                      const Bsdf& bsdf, glm::vec3 wo, glm::vec3 wi) {
        if (vertex_ == 1 && s.isProduct && layers_.wantsSplit) {
            const SplitValue f = evaluateSplit(bsdf, wo, wi);
            sink_.add(layer, incident * (f.diffuse + f.specular), how_);
            sink_.addHighlight(layer, incident * f.specular);
            return;
        }
        sink_.add(layer, incident * evaluate(bsdf, wo, wi), how_);
    }

    void lampAtReceptor(const Receptor& receptor, std::uint32_t lamp) {
        const Emitter& e = stage_.emitters()[lamp];
        goTo(kLamp + lamp);
        const LampView view = viewLamp(e.shape, receptor.point_m, receptor.viewNormal());
        const auto draw = keyfall::sampleLamp(view, sampler_.next2D());
        if (!draw) return;
        const float cosine = glm::dot(receptor.axis, draw->toLight);
        const float response = receptor.response(cosine);
        if (response <= 0.0F) return;
        Bands transfer(response * misWeight(draw->pdf_perSr, receptor.pdf_perSr(cosine)) / draw->pdf_perSr);
        if (reaches(lamp, receptor.point_m, *draw, media_.here(), transfer)) sink_.add(e.layer, transfer, how_);
    }

    const Stage& stage_;
    const LayerTable& layers_;
    Sampler& sampler_;
    Sink& sink_;
    PathCounters& counters_;
    const std::uint32_t lampCount_;

    Ray ray_;
    Bands throughput_{1.0F};
    Arrival how_;
    PathMedia media_;
    Vertex last_;
    int vertex_ = 0;
    bool lastWasDelta_ = true;
    bool seenAllLamps_ = false;
    bool roughBefore_ = false;
    bool ambientMuted_ = false;
};

}  // namespace keyfall
