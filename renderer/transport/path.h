// One light path, traced from the eye (or a meter's receptor), adding what it meets to a sink.
// Not here: how many paths and where from (render.h, receptor.h); who owns which path: DEVELOPERS.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <glm/glm.hpp>
#include <limits>
#include <numbers>
#include <optional>

#include "renderer/optics/bsdf.h"
#include "renderer/stage/stage.h"
#include "renderer/transport/camera_rays.h"
#include "renderer/transport/gloss_guide.h"
#include "renderer/transport/lamp_reach.h"
#include "renderer/transport/last_vertex.h"
#include "renderer/transport/layers.h"
#include "renderer/transport/light_sampling.h"
#include "renderer/transport/matt_draw.h"
#include "renderer/transport/muted_light.h"
#include "renderer/transport/path_state.h"
#include "renderer/transport/receptor.h"
#include "renderer/transport/scrim_arrival.h"

namespace keyfall {

/// How a narrow gloss goes on: also towards modifiers, or (to test that) by its own lobe alone.
enum class GlossDraws { guided, unguided };

/// The vertices of a path walk. `Sink` offers
///   void add(std::uint32_t layer, const Bands& transfer, const Arrival& how);
///   void addHighlight(std::uint32_t layer, const Bands& part);  // part of an add() before it
///   void firstHit(const SurfacePoint& surface);
/// and `Sampler` next2D, next1D and goTo.
///
/// Each vertex samples lights (all of them at the first surface that is not a mirror, one of them
/// later) and continues by its BSDF; lights found that way are weighted against the sampling
/// (power heuristic, Veach & Guibas 1995). Roulette from vertex 4, never a length cap: at
/// reflectance 0.9 a cap of 8 vertices would lose 43 % of the light.
template <class Sampler, class Sink>
class Path {
  public:
    Path(const Stage& stage, const LayerTable& layers, Sampler& sampler, Sink& sink,
         PathCounters& counters, GlossDraws glossDraws = GlossDraws::guided)
        : stage_(stage), layers_(layers), sampler_(sampler), sink_(sink), counters_(counters),
          glossDraws_(glossDraws), reach_(stage, layers, counters),
          lights_(stage, layers, sampler, sink, reach_), media_(counters), last_(stage, reach_) {
        ++counters_.paths;
    }

    /// From the camera: `ray` carries unit weight.
    void fromEye(const Ray& ray) {
        ray_ = ray;
        straight_ = true;
        walk();
    }

    /// From a meter's receptor, along a direction drawn from its response with `u`. Lamps are
    /// sampled at the receptor, which counts as a rough vertex.
    void fromReceptor(const Receptor& receptor, glm::vec2 u) {
        seenAllLights_ = true;
        roughBefore_ = onlyLit_ = true;
        lights_.allAtReceptor(receptor, dimensionAt(kLight));
        first_ = receptor.draw(u);
        const float response = receptor.response(glm::dot(receptor.axis, first_.direction));
        if (first_.pdf_perSr <= 0.0F || response <= 0.0F) return;
        ray_ = {receptor.point_m, first_.direction};
        last_.drew({receptor.point_m, receptor.viewNormal(), first_.pdf_perSr, kNoEmitter, kNoEmitter, true});
        throughput_ = Bands(response / first_.pdf_perSr);
        walk();
    }

  private:
    static constexpr int kGuard = 1000;
    static constexpr int kRouletteFrom = 4;
    static constexpr float kMostThinned = 1e-6F;  ///< the square of what the far slope of a lobe comes to

    /// The places of a vertex's random numbers, the same whatever happened before it: that keeps
    /// each of them stratified. From kLight on those of the lights.
    enum Dimension : std::uint32_t { kDirection, kLobe, kRoulette, kPick, kLight };
    std::uint32_t dimensionAt(std::uint32_t dimension) const {
        return static_cast<std::uint32_t>(vertex_ + 1) * (kLight + lights_.dimensionCount()) + dimension;
    }
    void goTo(std::uint32_t dimension) { sampler_.goTo(dimensionAt(dimension)); }

    void walk() {
        for (vertex_ = 1; vertex_ <= kGuard; ++vertex_) {
            ++counters_.rays;
            const auto hit = stage_.intersect(ray_.origin_m, ray_.direction);
            muted_.depart();
            if (!stage_.exits().empty())
                collectExits(hit ? hit->distance_m : std::numeric_limits<float>::infinity());
            if (!hit) return;
            const SurfacePoint s = stage_.surfaceAt(*hit, ray_.origin_m, ray_.direction);
            if (vertex_ == 1 && !first_.owns(s.board)) return;
            absorb(throughput_, media_.here(), hit->distance_m);
            muted_.arrive(s);
            if (vertex_ == 1) sink_.firstHit(s);
            if (s.board != kNoBoard) how_.boards |= 1ULL << s.board;
            collectEmission(s);
            if (!scatter(s) || !survives()) return;
        }
        ++counters_.guardStops;
    }

    /// Light scattered in a modifier, where the ray crosses its exit up to `far_m`.
    void collectExits(float far_m) {
        std::optional<Bands> rough;
        for (std::uint32_t i = 0; i < stage_.exits().size(); ++i) {
            const Exit& exit = stage_.exits()[i];
            const float t_m = exit.crossing_m(ray_.origin_m, ray_.direction);
            if (t_m < 0.0F || t_m > far_m) continue;
            if (!rough) rough = roughShareOfDraw();
            muted_.cross(exit.light, Bands(1.0F) - *rough);
            if (rough->isBlack() || (vertex_ == 1 && first_.toCard())) continue;
            const glm::vec3 point_m = ray_.origin_m + t_m * ray_.direction;
            const auto source = static_cast<std::uint32_t>(stage_.emitters().size()) + i;
            Bands light = throughput_ * *rough * exit.luminance_perSrM2(point_m, ray_.direction);
            light *= scrim_.onRay(exit.light);
            if (last_.isShared())
                light *= last_.faceWeight(exit.shape, source, last_.distanceTo_m(point_m), ray_.direction);
            absorb(light, media_.here(), t_m);
            sink_.add(exit.light, light, how_);
        }
    }

    /// How much of what the ray brings is the table's: all of it once a rough vertex lies before the last
    /// one; else what the last draw carries by rough lobes, 0 from the eye or after a mirror.
    Bands roughShareOfDraw() const {
        if (onlyLit_) return Bands(1.0F);
        if (!last_.isShared()) return Bands(0.0F);
        if (drawn_.bsdf.material == nullptr) return Bands(1.0F);  // a receptor
        if (!isRough(drawn_.bsdf)) return Bands(0.0F);
        if (isWhollyRough(drawn_.bsdf)) return Bands(1.0F);
        const SplitValue f = evaluateSplit(drawn_.bsdf, drawn_.wo, drawn_.wi);
        Bands share;
        for (int b = 0; b < kBands; ++b) {
            const float all = f.diffuse[b] + f.specular[b];
            share[b] = all > 0.0F ? f.diffuse[b] / all : 0.0F;
        }
        return share;
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
        how.straight = straight_;
        Bands light = throughput_ * (e.luminance_perSrM2(-ray_.direction) * share.weight * scrim_.onRay(e.layer));
        if (const Bands* kept = muted_.onLamp(e.layer)) light *= *kept;
        sink_.add(e.layer, light, how);
    }

    /// Goes straight on as if the surface were not there. Shadow tests stop at it all the same, so
    /// the light beyond belongs to this path alone, as after a mirror.
    void passStraight(const SurfacePoint& s) {
        const float side = glm::dot(s.geometricNormal, ray_.direction) < 0.0F ? -1.0F : 1.0F;
        ray_.origin_m = Stage::offsetOrigin(s.position_m, side * s.geometricNormal);
        last_.passedSolid();
        scrim_.turn();
    }

    bool scatter(const SurfacePoint& s) {
        Bsdf bsdf = layers_.bsdfAt(s);
        if (PathMedia::isSolidGlass(s) && !media_.resolve(s, bsdf)) {
            passStraight(s);
            return true;
        }
        const glm::vec3 wo = s.shading.toLocal(-ray_.direction);
        scrim_.arrive(stage_, s, last_, ray_.direction);
        GlossGuide guide;
        if (looksIntoModifiers(bsdf)) guide.aim(stage_, s.shading, s.position_m + s.lift_m, bsdf, wo);
        bool sawAllLights = false;
        if (hasSmoothLobe(bsdf)) sawAllLights = sampleLights(s, bsdf, wo, guide);

        const BsdfSample b = draw(bsdf, wo, guide);
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
        noteDraw(s, b, sawAllLights);
        // What passes a sheet or pane straight is still of the draw before it, as last_ is.
        if (!stage_.exits().empty() && b.lobe != Lobe::straight) drawn_ = {bsdf, wo, b.wi};
        return true;
    }

    /// Drawn rays alone find what a narrow gloss shows of a modifier, until a rough vertex hands it to a table.
    bool looksIntoModifiers(const Bsdf& bsdf) const {
        if (stage_.exits().empty() || roughBefore_ || glossDraws_ == GlossDraws::unguided) return false;
        return GlossGuide::serves(bsdf);
    }

    /// On a card that the receptor drew to, and its gloss is broad.
    bool isDrawnAsMatt(const Bsdf& bsdf) const { return vertex_ == 1 && first_.toCard() && drawsAsMatt(bsdf); }

    /// The next direction, by the surface or by its guide.
    BsdfSample draw(const Bsdf& bsdf, glm::vec3 wo, const GlossGuide& guide) {
        goTo(kDirection);
        const glm::vec2 u = sampler_.next2D();
        if (isDrawnAsMatt(bsdf)) return sampleAsMatt(bsdf, wo, u);
        if (guide.share() <= 0.0F) return sample(bsdf, wo, choosesLobe(bsdf) ? lobeNumber() : 0.0F, u);
        const GlossGuide::Drawn drawn = guide.sample(bsdf, wo, lobeNumber(), u);
        thinned_ = std::max(thinned_ * drawn.thinner, kMostThinned);
        return drawn.sample;
    }

    float lobeNumber() {
        goTo(kLobe);
        return sampler_.next1D();
    }

    /// Radiance inside glass is n^2 times what it will be outside: what counts is what comes of it. A weight
    /// that is small because the draw was a dense one says nothing against the path: in a modifier it would
    /// end all but a few, and make of those what the draw was to prevent.
    bool survives() {
        const float largest = throughput_.largest();
        if (vertex_ < kRouletteFrom) return largest > 0.0F;
        const float n = media_.iorHere();
        const float q = std::min(0.95F, largest * n * n / thinned_);
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
        if (b.lobe != Lobe::straight) onlyLit_ = roughBefore_;
        const bool drawn = b.lobe != Lobe::specular && b.lobe != Lobe::straight;
        roughBefore_ = roughBefore_ || (drawn && isRough(bsdf));
    }

    void noteDraw(const SurfacePoint& s, const BsdfSample& b, bool sawAllLights) {
        if (b.lobe == Lobe::straight) {
            if (PathMedia::isSolidGlass(s)) last_.passedSolid();  // index-matched: no turn
            else last_.passedSheet();
            return;
        }
        muted_.scatter();
        straight_ = false;
        if (b.lobe == Lobe::specular) {
            last_.turnedAt(s);
            scrim_.turn();
            return;
        }
        last_.drew({s.position_m + s.lift_m, viewNormalOf(s), b.pdf_perSr, s.emitter, s.ownLight, sawAllLights});
        scrim_.draw();
    }

    /// The receiver's normal for light sampling; 0 where light may come from both sides.
    static glm::vec3 viewNormalOf(const SurfacePoint& s) { return isTwoSided(s) ? glm::vec3(0.0F) : s.shading.z; }

    /// True when every light was sampled, false when one was drawn.
    bool sampleLights(const SurfacePoint& s, const Bsdf& bsdf, glm::vec3 wo, const GlossGuide& guide) {
        const LitVertex vertex{s, bsdf, wo, -ray_.direction, s.position_m + s.lift_m, viewNormalOf(s),
                               throughput_, how_, media_, muted_, scrim_, guide,
                               static_cast<std::uint32_t>(vertex_), roughBefore_, isDrawnAsMatt(bsdf)};
        if (!seenAllLights_ || lights_.sourceCount() <= 1) {
            seenAllLights_ = true;
            lights_.all(vertex, dimensionAt(kLight));
            return true;
        }
        goTo(kPick);
        lights_.one(vertex, sampler_.next1D(), dimensionAt(kLight));
        return false;
    }

    const Stage& stage_;
    const LayerTable& layers_;
    Sampler& sampler_;
    Sink& sink_;
    PathCounters& counters_;
    const GlossDraws glossDraws_;
    const LampReach reach_;
    LightSampling<Sampler, Sink> lights_;

    Receptor::Draw first_;  ///< of a receptor; from the eye it owns all
    Ray ray_;
    Bands throughput_{1.0F};
    Arrival how_;
    PathMedia media_;
    LastVertex last_;
    MutedLight muted_;
    ScrimArrival scrim_;
    /// The last draw, to tell its rough part; kept where there are exits.
    struct Drawn {
        Bsdf bsdf;
        glm::vec3 wo{0.0F};
        glm::vec3 wi{0.0F};
    };
    Drawn drawn_;
    int vertex_ = 0;
    float thinned_ = 1.0F;  ///< factor on the throughput by draws denser than their surfaces'
    bool seenAllLights_ = false;
    bool roughBefore_ = false;  ///< some vertex so far drew from a rough surface
    bool onlyLit_ = false;      ///< some vertex before the last one did
    bool ambientMuted_ = false;
    bool straight_ = false;     ///< from the eye, and no surface has turned it
};

}  // namespace keyfall
