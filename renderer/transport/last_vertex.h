// The vertex that last drew a direction with a density, and what has happened since: how much a lamp
// that the ray then meets counts. Not here: the walk (path.h), sampling lamps (lamp_reach.h).
#pragma once

#include <cmath>
#include <glm/glm.hpp>

#include "renderer/stage/stage.h"
#include "renderer/transport/lamp_reach.h"
#include "renderer/transport/light_choice.h"

namespace keyfall {

/// Power heuristic with exponent 2 (Veach & Guibas 1995), for the technique of density `mine`.
inline float misWeight(float mine, float other) {
    const float a = mine * mine;
    return a / (a + other * other);
}

/// Maximum heuristic (Veach & Guibas 1995), for a technique of density `mine`: all to the better one.
/// For scrims: a path that comes to one has to find its lamp by another draw, so that even the few
/// percent which the power heuristic leaves to such paths bring more noise than all the rest.
inline float maximumWeight(float mine, float other) {
    return mine == other ? 0.5F : mine > other ? 1.0F : 0.0F;
}
using Heuristic = float (*)(float mine, float other);

class LastVertex {
  public:
    LastVertex(const Stage& stage, const LampReach& reach) : stage_(&stage), reach_(&reach) {}

    struct Draw {
        glm::vec3 point_m{0.0F};
        glm::vec3 normal{0.0F};              ///< the receiver's; 0: light may come from both sides
        float pdf_perSr = 0.0F;
        std::uint32_t ownLamp = kNoEmitter;  ///< the vertex lies on this lamp's body
        std::uint32_t ownLight = kNoEmitter; ///< or on this light's lamp or modifier
        bool sawAllLights = false;           ///< else it drew one of them, and no images in mirrors
    };

    void drew(const Draw& draw) {
        draw_ = draw;
        shared_ = unbroken_ = true;
        mirror_ = kNoMirror;
    }
    /// A surface turned the ray into one direction. Lamps in a flat mirror are sampled with nothing
    /// before the mirror: one turn, no sheet.
    void turnedAt(const SurfacePoint& s) {
        mirror_ = shared_ && unbroken_ ? mirrorAt(s) : kNoMirror;
        draw_.ownLamp = s.emitter;
        shared_ = false;
    }
    /// Straight through a thin sheet, as shadow tests go.
    void passedSheet() { unbroken_ = false; }
    /// Straight through a surface that stops shadow tests: what lies beyond is found by this ray alone.
    void passedSolid() {
        shared_ = unbroken_ = false;
        mirror_ = kNoMirror;
    }

    struct Share {
        float weight = 1.0F;
        bool alone = true;  ///< no lamp sampling could have found it
    };
    /// Of a lamp's luminous surface, met along `direction`. A lamp's own body lit by the lamp (a
    /// ring's inside) counts 0: its lumens are what leaves it, and that light never does.
    Share shareOf(const SurfacePoint& s, glm::vec3 direction) const {
        if (s.emitter == draw_.ownLamp) return {0.0F, false};
        if (shared_) {
            return {misWeight(draw_.pdf_perSr, choice(s.emitter) * lampPdf_perSr({s.emitter}, s, direction)), false};
        }
        if (mirror_ == kNoMirror || !draw_.sawAllLights) return {};
        const glm::vec3 image_m = mirror().mirroredPoint(s.position_m);
        const glm::vec3 toImage = glm::normalize(image_m - draw_.point_m);
        return {misWeight(draw_.pdf_perSr, lampPdf_perSr({s.emitter, mirror_}, s, toImage)), false};
    }

    /// Whether sampling lights at that vertex could have found what the ray meets now.
    bool isShared() const { return shared_; }

    /// Weight of light that comes through a face, met at `distance_m` along `direction`, against
    /// sampling the face at that vertex. `source`: its index in Stage::sources. Call when isShared().
    float faceWeight(const LampShape& face, std::uint32_t source, float distance_m, glm::vec3 direction,
                     Heuristic heuristic = misWeight) const {
        LampHit hit;
        hit.normal = glm::dot(direction, face.frame.z) < 0.0F ? face.frame.z : -face.frame.z;
        hit.distance_m = distance_m;
        const float pdf = pdfLamp_perSr(viewLamp(face, draw_.point_m, draw_.normal), direction, hit);
        return heuristic(draw_.pdf_perSr, choice(source) * pdf);
    }
    /// From the vertex to `point_m`: longer than the ray where it has passed sheets.
    float distanceTo_m(glm::vec3 point_m) const { return glm::distance(draw_.point_m, point_m); }

  private:
    float choice(std::uint32_t source) const {
        if (draw_.sawAllLights) return 1.0F;
        return LightChooser(*stage_, draw_.point_m, draw_.normal, draw_.ownLight).probability(source);
    }
    const FlatMirror& mirror() const { return stage_->mirrors()[static_cast<std::size_t>(mirror_)]; }

    int mirrorAt(const SurfacePoint& s) const {
        for (std::size_t m = 0; m < stage_->mirrors().size(); ++m)
            if (s.board != kNoBoard && stage_->mirrors()[m].item == s.item) return static_cast<int>(m);
        return kNoMirror;
    }

    /// The density with which the draw's lamp sampling would have found this point of the lamp.
    float lampPdf_perSr(LampTarget target, const SurfacePoint& s, glm::vec3 direction) const {
        const bool image = target.mirror != kNoMirror;
        LampHit hit;
        hit.normal = image ? mirror().mirroredDirection(s.geometricNormal) : s.geometricNormal;
        hit.distance_m =
            glm::length((image ? mirror().mirroredPoint(s.position_m) : s.position_m) - draw_.point_m);
        return pdfLamp_perSr(viewLamp(reach_->shape(target), draw_.point_m, draw_.normal), direction, hit);
    }

    const Stage* stage_;  // pointers: a copy is kept where a scrim is met
    const LampReach* reach_;
    Draw draw_;
    bool shared_ = false;     ///< lamp sampling at that vertex could have found what comes now
    bool unbroken_ = false;   ///< nothing at all between that vertex and here
    int mirror_ = kNoMirror;  ///< the flat mirror that alone has turned the ray since
};

}  // namespace keyfall
