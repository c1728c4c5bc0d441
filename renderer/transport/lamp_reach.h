// Whether a lamp's light arrives: straight, or by way of a flat mirror.
// Not here: which point of the lamp (lamp.h), which light (light_choice.h).
#pragma once

#include <cstdint>
#include <glm/glm.hpp>

#include "renderer/optics/bsdf.h"
#include "renderer/stage/stage.h"
#include "renderer/transport/layers.h"
#include "renderer/transport/path_state.h"

namespace keyfall {

inline constexpr int kNoMirror = -1;

/// A draw aims at a lamp, or at its image in a flat mirror. The image is as bright as the lamp and
/// as large: one sampling serves both, and what the mirror keeps comes off on the way.
struct LampTarget {
    std::uint32_t lamp = 0;
    int mirror = kNoMirror;
};

class LampReach {
  public:
    LampReach(const Stage& stage, const LayerTable& layers, PathCounters& counters)
        : stage_(stage), layers_(layers), counters_(counters) {}

    const LampShape& shape(LampTarget t) const {
        if (t.mirror == kNoMirror) return stage_.emitters()[t.lamp].shape;
        return stage_.mirrors()[static_cast<std::size_t>(t.mirror)].image[t.lamp];
    }

    /// The shadow test of a draw. Where light arrives, `transfer` takes on the lamp's luminance and
    /// what sheets, the medium and the mirror leave of it, and `boards` the mirror's bit.
    bool reaches(LampTarget t, glm::vec3 from_m, const LampSample& draw, const Material* medium,
                 Bands& transfer, std::uint64_t& boards) const {
        const Emitter& e = stage_.emitters()[t.lamp];
        // Measured lamps are seen in mirrors, too: the image keeps what the lamp sends that way.
        transfer *= e.web == nullptr ? e.luminancePerFlux_perSrM2 : e.luminance_perSrM2(-atLamp(t, draw.toLight));
        const bool arrives = t.mirror == kNoMirror
                                 ? stage_.throughSheets(from_m, draw.toLight, draw.distance_m, t.lamp,
                                                        transfer, counters_.rays)
                                 : byMirror(t, from_m, draw, transfer, boards);
        if (arrives) absorb(transfer, medium, draw.distance_m);
        return arrives;
    }

    /// The shadow test of a draw on a face that is no lamp: false where something is in the way.
    bool isFree(Stage::Target face, glm::vec3 from_m, const LampSample& draw, const Material* medium, Bands& transfer) const {
        const bool free =
            stage_.throughSheets(from_m, draw.toLight, draw.distance_m, kNoEmitter, transfer, counters_.rays, face);
        if (free) absorb(transfer, medium, draw.distance_m);
        return free;
    }

  private:
    /// The direction in which light aimed at an image comes to the lamp itself.
    glm::vec3 atLamp(LampTarget t, glm::vec3 toLight) const {
        return t.mirror == kNoMirror ? toLight
                                     : stage_.mirrors()[static_cast<std::size_t>(t.mirror)].mirroredDirection(toLight);
    }

    /// To the mirror with nothing at all before it, then on to the lamp itself.
    bool byMirror(LampTarget t, glm::vec3 from_m, const LampSample& draw, Bands& transfer,
                  std::uint64_t& boards) const {
        const FlatMirror& mirror = stage_.mirrors()[static_cast<std::size_t>(t.mirror)];
        ++counters_.rays;
        const auto hit = stage_.intersect(from_m, draw.toLight);
        if (!hit || hit->geometry != mirror.item || hit->distance_m >= draw.distance_m) return false;
        const SurfacePoint s = stage_.surfaceAt(*hit, from_m, draw.toLight);
        const BsdfSample b = sample(layers_.bsdfAt(s), s.shading.toLocal(-draw.toLight), 0.0F, {});
        if (b.lobe != Lobe::specular) return false;
        transfer *= b.weight;
        boards |= 1ULL << s.board;
        const glm::vec3 onward_m = Stage::offsetOrigin(s.position_m, s.geometricNormal);
        return stage_.throughSheets(onward_m, s.shading.toWorld(b.wi), draw.distance_m - hit->distance_m,
                                    t.lamp, transfer, counters_.rays);
    }

    const Stage& stage_;
    const LayerTable& layers_;
    PathCounters& counters_;
};

}  // namespace keyfall
