// Sampling lights from a vertex of a path, or from a meter's receptor: lamps, lamps in flat mirrors,
// modifiers' exits, scrims. Not here: where the path goes on (path.h); who owns what: DEVELOPERS.
#pragma once

#include <cstdint>
#include <glm/glm.hpp>
#include <optional>

#include "renderer/optics/bsdf.h"
#include "renderer/stage/stage.h"
#include "renderer/transport/face_light.h"
#include "renderer/transport/gloss_guide.h"
#include "renderer/transport/lamp_reach.h"
#include "renderer/transport/last_vertex.h"
#include "renderer/transport/layers.h"
#include "renderer/transport/light_choice.h"
#include "renderer/transport/matt_draw.h"
#include "renderer/transport/muted_light.h"
#include "renderer/transport/path_state.h"
#include "renderer/transport/receptor.h"
#include "renderer/transport/scrim_arrival.h"

namespace keyfall {

/// A surface that wants light, and what has come of the path so far.
struct LitVertex {
    const SurfacePoint& s;
    const Bsdf& bsdf;
    glm::vec3 wo{0.0F};         ///< local
    glm::vec3 towardEye{0.0F};  ///< world
    glm::vec3 from_m{0.0F};     ///< on the smooth surface
    glm::vec3 normal{0.0F};     ///< the receiver's; 0 where light may come from both sides
    const Bands& throughput;
    const Arrival& how;
    const PathMedia& media;
    const MutedLight& muted;
    const ScrimArrival& scrim;
    const GlossGuide& guide;
    std::uint32_t index = 1;    ///< 1: what the eye sees
    /// A rough vertex came before: nobody sees a modifier in this one, and the table may stand for it.
    bool isOnlyLit = false;
    bool asMatt = false;        ///< draws by sampleAsMatt

    /// Density with which the vertex draws the direction in which its path goes on.
    float drawPdf_perSr(glm::vec3 direction, glm::vec3 wi) const {
        return asMatt ? pdfAsMatt_perSr(wo, wi) : guide.mixed_perSr(direction, pdf_perSr(bsdf, wo, wi));
    }
};

inline bool isTwoSided(const SurfacePoint& s) {
    return s.material->base == Base::sheet || s.material->base == Base::glass;
}

template <class Sampler, class Sink>
class LightSampling {
  public:
    LightSampling(const Stage& stage, const LayerTable& layers, Sampler& sampler, Sink& sink, const LampReach& reach)
        : stage_(stage), layers_(layers), sampler_(sampler), sink_(sink), reach_(reach), faces_(stage, reach),
          lampCount_(static_cast<std::uint32_t>(stage.emitters().size())),
          exitCount_(static_cast<std::uint32_t>(stage.exits().size())),
          pairCount_(static_cast<std::uint32_t>(stage.scrims().size()) * lampCount_),
          mirrorCount_(static_cast<int>(stage.mirrors().size())) {}

    /// Places of random numbers that a vertex needs here, from `first` on.
    std::uint32_t dimensionCount() const { return exitFrom() + 2 * exitCount_ + scrimStride() * pairCount_; }
    std::uint32_t sourceCount() const { return lampCount_ + exitCount_ + pairCount_; }

    /// All lights; `first` is the first of dimensionCount() places of random numbers.
    void all(const LitVertex& v, std::uint32_t first) {
        first_ = first;
        forAllLamps([&](LampTarget t) { lamp(v, t, 1.0F); });
        for (std::uint32_t e = 0; e < exitCount_; ++e) exit(v, e, 1.0F);
        for (std::uint32_t p = 0; p < pairCount_; ++p) scrim(v, p, 1.0F);
    }

    /// One light, without lamps in mirrors.
    void one(const LitVertex& v, float pick, std::uint32_t first) {
        first_ = first;
        const LightChooser chooser(stage_, v.from_m, v.normal, v.s.ownLight);
        const LightChoice choice = chooser.draw(pick);
        if (choice.source < lampCount_) lamp(v, {choice.source}, choice.probability);
        else if (choice.source < lampCount_ + exitCount_) exit(v, choice.source - lampCount_, choice.probability);
        else scrim(v, choice.source - lampCount_ - exitCount_, choice.probability);
    }

    void allAtReceptor(const Receptor& receptor, std::uint32_t first) {
        first_ = first;
        forAllLamps([&](LampTarget t) { lampAtReceptor(receptor, t); });
        for (std::uint32_t e = 0; e < exitCount_; ++e) exitAtReceptor(receptor, e);
        for (std::uint32_t p = 0; p < pairCount_; ++p) scrimAtReceptor(receptor, p);
    }

  private:
    std::uint32_t exitFrom() const { return lampCount_ * static_cast<std::uint32_t>(1 + mirrorCount_); }
    std::uint32_t scrimStride() const { return 3 + 2 * exitCount_; }
    glm::vec2 pair(std::uint32_t dimension) {
        sampler_.goTo(first_ + dimension);
        return sampler_.next2D();
    }
    glm::vec2 pairOfLamp(LampTarget t) { return pair(static_cast<std::uint32_t>(t.mirror + 1) * lampCount_ + t.lamp); }
    glm::vec2 pairOfScrim(std::uint32_t p, std::uint32_t i) { return pair(exitFrom() + 2 * exitCount_ + p * scrimStride() + i); }

    /// Every lamp, and every lamp in every flat mirror.
    template <class Use>
    void forAllLamps(const Use& use) const {
        for (int mirror = kNoMirror; mirror < mirrorCount_; ++mirror)
            for (std::uint32_t l = 0; l < lampCount_; ++l) use(LampTarget{l, mirror});
    }

    // --- at a surface ---

    /// Where a ray towards a light starts, and what it crosses; empty: the surface cannot use it.
    struct Toward {
        glm::vec3 wi{0.0F};
        glm::vec3 origin_m{0.0F};
        const Material* medium = nullptr;
    };
    static std::optional<Toward> toward(const LitVertex& v, glm::vec3 toLight) {
        const SurfacePoint& s = v.s;
        const float above = glm::dot(s.geometricNormal, toLight);
        Toward t;
        t.wi = s.shading.toLocal(toLight);
        const bool sameSide = above * glm::dot(s.geometricNormal, v.towardEye) > 0.0F;
        if (sameSide != (t.wi.z * v.wo.z > 0.0F)) return {};  // below the true surface, above the smooth
        if (!sameSide && !isTwoSided(s)) return {};
        t.origin_m = Stage::offsetOrigin(sameSide ? v.from_m : s.position_m, above < 0.0F ? -s.geometricNormal : s.geometricNormal);
        t.medium = !sameSide && PathMedia::isSolidGlass(s) ? v.media.beyond(s) : v.media.here();
        return t;
    }
    /// No part of a light is above the receiver's plane.
    static bool isBelow(const LitVertex& v, glm::vec3 centre_m, float radius_m) {
        return glm::dot(centre_m - v.from_m, v.normal) < -radius_m;
    }

    enum class Lobes { all, rough };
    void add(const LitVertex& v, std::uint32_t layer, Bands incident, glm::vec3 wi, const Arrival& how, Lobes lobes) {
        incident *= v.throughput;
        const bool bodyOnly = lobes == Lobes::rough && !isWhollyRough(v.bsdf);
        if (v.index == 1 && v.s.isProduct && layers_.wantsSplit) {
            SplitValue f = evaluateSplit(v.bsdf, v.wo, wi);
            if (bodyOnly) f.specular = Bands{};
            sink_.add(layer, incident * (f.diffuse + f.specular), how);
            sink_.addHighlight(layer, incident * f.specular);
            return;
        }
        sink_.add(layer, incident * (lobes == Lobes::rough ? evaluateRough(v.bsdf, v.wo, wi) : evaluate(v.bsdf, v.wo, wi)), how);
    }

    void lamp(const LitVertex& v, LampTarget target, float probability) {
        const Emitter& e = stage_.emitters()[target.lamp];
        const bool direct = target.mirror == kNoMirror;
        if (e.hidden && v.s.ownLight != e.layer) return;
        if (direct && target.lamp == v.s.emitter) return;
        const Bands* share = v.muted.atVertex(e.layer);
        if (share != nullptr && share->isBlack()) return;
        const LampShape& shape = reach_.shape(target);
        if (isBelow(v, shape.centre_m, e.boundingRadius_m)) return;
        const auto draw = sampleLamp(viewLamp(shape, v.from_m, v.normal), pairOfLamp(target));
        if (!draw) return;
        const auto t = toward(v, draw->toLight);
        if (!t) return;
        const float lampPdf = probability * draw->pdf_perSr;
        const float scrimShare = direct ? v.scrim.atVertex(e.layer) : 1.0F;
        Bands incident(scrimShare * misWeight(lampPdf, v.drawPdf_perSr(draw->toLight, t->wi)) / lampPdf);
        // The lobe comes last: many shadow tests find something in the way, and it is not needed.
        Arrival how = v.how;
        if (!reach_.reaches(target, t->origin_m, *draw, t->medium, incident, how.boards)) return;
        if (share != nullptr) incident *= *share;
        add(v, e.layer, incident, t->wi, how, Lobes::all);
    }

    void exit(const LitVertex& v, std::uint32_t index, float probability) {
        const Exit& e = stage_.exits()[index];
        if (v.s.ownLight == e.light || !(v.isOnlyLit || isRough(v.bsdf))) return;
        if (isBelow(v, e.shape.centre_m, stage_.sources()[lampCount_ + index].boundingRadius_m)) return;
        const std::uint32_t dimension = exitFrom() + 2 * index;
        const glm::vec2 u = pair(dimension);
        const auto draw = faces_.drawExit(e, v.from_m, v.normal, u, pair(dimension + 1).x);
        if (!draw) return;
        const auto t = toward(v, draw->point.toLight);
        if (!t) return;
        Bands incident = e.luminance_perSrM2(v.from_m + draw->point.distance_m * draw->point.toLight, draw->point.toLight) *
                         faceFactor(v, *draw, t->wi, probability, misWeight);
        incident *= v.scrim.atVertex(e.light);
        if (reach_.isFree(Stage::Target::exit, t->origin_m, draw->point, t->medium, incident))
            add(v, e.light, incident, t->wi, v.how, v.isOnlyLit ? Lobes::all : Lobes::rough);
    }

    void scrim(const LitVertex& v, std::uint32_t p, float probability) {
        const Scrim& scrim = stage_.scrims()[p / lampCount_];
        const std::uint32_t light = p % lampCount_;
        if (v.s.scrim == static_cast<int>(p / lampCount_)) return;
        const std::uint32_t source = lampCount_ + exitCount_ + p;
        if (isBelow(v, scrim.shape.centre_m, stage_.sources()[source].boundingRadius_m)) return;
        const auto draw = faces_.drawScrim(scrim, light, v.from_m, v.normal, pairOfScrim(p, 0), pairOfScrim(p, 1).x);
        if (!draw) return;
        const auto t = toward(v, draw->point.toLight);
        if (!t) return;
        Bands incident(faceFactor(v, *draw, t->wi, probability, maximumWeight));
        if (incident.isBlack()) return;
        if (!reach_.isFree(Stage::Target::sheet, t->origin_m, draw->point, t->medium, incident)) return;
        incident *= scrimLuminance(p, v.from_m, draw->point);
        add(v, light, incident, t->wi, v.how, Lobes::all);
    }

    static float faceFactor(const LitVertex& v, const FaceDraw& draw, glm::vec3 wi, float probability, Heuristic heuristic) {
        const float facePdf = probability * draw.point.pdf_perSr;
        return heuristic(facePdf, v.drawPdf_perSr(draw.point.toLight, wi)) * draw.inverseDensity_sr / probability;
    }
    Bands scrimLuminance(std::uint32_t p, glm::vec3 from_m, const LampSample& at) {
        return faces_.scrimLuminance(stage_.scrims()[p / lampCount_], p % lampCount_, from_m + at.distance_m * at.toLight,
                                     from_m, [&](std::uint32_t i) { return pairOfScrim(p, 2 + i); });
    }

    // --- at a receptor ---

    void lampAtReceptor(const Receptor& receptor, LampTarget target) {
        if (stage_.emitters()[target.lamp].hidden) return;
        const LampView view = viewLamp(reach_.shape(target), receptor.point_m, receptor.viewNormal());
        const auto draw = sampleLamp(view, pairOfLamp(target));
        if (!draw) return;
        const float cosine = glm::dot(receptor.axis, draw->toLight);
        const float response = receptor.response(cosine);
        if (response <= 0.0F) return;
        Bands transfer(response * misWeight(draw->pdf_perSr, receptor.pdf_perSr(cosine)) / draw->pdf_perSr);
        Arrival how;
        if (reach_.reaches(target, receptor.point_m, *draw, nullptr, transfer, how.boards))
            sink_.add(stage_.emitters()[target.lamp].layer, transfer, how);
    }

    /// Response times weight over density; 0 where the receptor is blind.
    static float faceFactor(const Receptor& receptor, const FaceDraw& draw, Heuristic heuristic) {
        const float cosine = glm::dot(receptor.axis, draw.point.toLight);
        return receptor.response(cosine) * draw.inverseDensity_sr * heuristic(draw.point.pdf_perSr, receptor.pdf_perSr(cosine));
    }
    void exitAtReceptor(const Receptor& receptor, std::uint32_t index) {
        const Exit& e = stage_.exits()[index];
        const std::uint32_t dimension = exitFrom() + 2 * index;
        const glm::vec2 u = pair(dimension);
        const auto draw = faces_.drawExit(e, receptor.point_m, receptor.viewNormal(), u, pair(dimension + 1).x);
        if (!draw) return;
        const LampSample& at = draw->point;
        Bands transfer = e.luminance_perSrM2(receptor.point_m + at.distance_m * at.toLight, at.toLight) * faceFactor(receptor, *draw, misWeight);
        if (reach_.isFree(Stage::Target::exit, receptor.point_m, at, nullptr, transfer)) sink_.add(e.light, transfer, Arrival{});
    }
    void scrimAtReceptor(const Receptor& receptor, std::uint32_t p) {
        const Scrim& scrim = stage_.scrims()[p / lampCount_];
        const std::uint32_t light = p % lampCount_;
        const auto draw = faces_.drawScrim(scrim, light, receptor.point_m, receptor.viewNormal(), pairOfScrim(p, 0), pairOfScrim(p, 1).x);
        if (!draw) return;
        Bands transfer(faceFactor(receptor, *draw, maximumWeight));
        if (transfer.isBlack()) return;
        if (!reach_.isFree(Stage::Target::sheet, receptor.point_m, draw->point, nullptr, transfer)) return;
        sink_.add(light, transfer * scrimLuminance(p, receptor.point_m, draw->point), Arrival{});
    }

    const Stage& stage_;
    const LayerTable& layers_;
    Sampler& sampler_;
    Sink& sink_;
    const LampReach& reach_;
    const FaceLight faces_;
    const std::uint32_t lampCount_, exitCount_, pairCount_;
    const int mirrorCount_;
    std::uint32_t first_ = 0;
};

}  // namespace keyfall
