// Light that comes by way of a face: out of a modifier's exit, or from a scrim that a lamp shines on.
// Not here: whether it arrives, and what the receiver makes of it (light_sampling.h).
#pragma once

#include <glm/glm.hpp>
#include <numbers>
#include <optional>

#include "renderer/optics/bsdf_base.h"
#include "renderer/optics/face_draw.h"
#include "renderer/stage/stage.h"
#include "renderer/transport/lamp_reach.h"

namespace keyfall {

class FaceLight {
  public:
    FaceLight(const Stage& stage, const LampReach& reach) : stage_(stage), reach_(reach) {}

    /// A point of an exit as seen from `from_m`, drawn by its luminance and the receiver's cosine.
    std::optional<FaceDraw> drawExit(const Exit& exit, glm::vec3 from_m, glm::vec3 normal, glm::vec2 u, float pick) const {
        const LampView view = viewLamp(exit.shape, from_m, normal);
        return drawOnFace(view, exit.candidates, u, pick, [&](const LampSample& at) {
            return mean(exit.luminance_perSrM2(from_m + at.distance_m * at.toLight, at.toLight)) * cosine(normal, at.toLight);
        });
    }

    /// A point of a scrim as seen from `from_m`, drawn by the light of lamp `light` that it should get.
    std::optional<FaceDraw> drawScrim(const Scrim& scrim, std::uint32_t light, glm::vec3 from_m, glm::vec3 normal,
                                      glm::vec2 u, float pick) const {
        const LampView view = viewLamp(scrim.shape, from_m, normal);
        const Shares shares = sharesOf(scrim, from_m);
        return drawOnFace(view, kMostCandidates, u, pick, [&](const LampSample& at) {
            const glm::vec3 point_m = from_m + at.distance_m * at.toLight;
            const float guess = mean(shares.reflected) * guess_lx(light, point_m, shares.front) +
                                mean(shares.passed) * guess_lx(light, point_m, -shares.front);
            return guess * cosine(normal, at.toLight);
        });
    }

    /// Luminance of a scrim towards `viewer_m` from what the lamp `light` sends to `point_m` straight:
    /// from its body, through sheets, and out of its modifier. One sample of each; `numbers(i)` gives
    /// pair i: 0 for the lamp, 1 + 2e and 2 + 2e for exit e.
    template <class Numbers>
    Bands scrimLuminance(const Scrim& scrim, std::uint32_t light, glm::vec3 point_m, glm::vec3 viewer_m,
                         const Numbers& numbers) const {
        const Shares shares = sharesOf(scrim, viewer_m);
        Bands sum = lampOnScrim(shares, light, point_m, numbers(0));
        for (std::uint32_t e = 0; e < stage_.exits().size(); ++e)
            if (stage_.exits()[e].light == light)
                sum += exitOnScrim(shares, stage_.exits()[e], point_m, numbers(1 + 2 * e), numbers(2 + 2 * e).x);
        return sum;
    }

  private:
    /// Luminance per illuminance of the two sides, for a viewer on the side of `front`.
    struct Shares {
        glm::vec3 front{0.0F};
        Bands reflected;
        Bands passed;
        const Bands& of(glm::vec3 toLight) const { return glm::dot(toLight, front) > 0.0F ? reflected : passed; }
    };
    static Shares sharesOf(const Scrim& scrim, glm::vec3 viewer_m) {
        const glm::vec3 n = scrim.shape.frame.z;
        return {glm::dot(viewer_m - scrim.shape.centre_m, n) < 0.0F ? -n : n, scrim.fabric->reflectance * kInvPi,
                (scrim.fabric->transmittance - scrim.fabric->straight) * kInvPi};
    }

    static float cosine(glm::vec3 normal, glm::vec3 direction) {
        return normal == glm::vec3(0.0F) ? 1.0F : std::max(0.0F, glm::dot(normal, direction));
    }

    /// Illuminance on the side `up`, from the lamp's and the exits' centres, nothing in the way; never
    /// 0, so that a lamp whose centre is behind a point may still light it.
    float guess_lx(std::uint32_t light, glm::vec3 point_m, glm::vec3 up) const {
        const Emitter& e = stage_.emitters()[light];
        const glm::vec3 way_m = e.centre_m - point_m;
        const float d2 = glm::dot(way_m, way_m) + e.boundingRadius_m * e.boundingRadius_m;
        const glm::vec3 to = way_m / std::sqrt(d2);
        float sum = (e.hidden ? 0.01F : 0.05F + std::max(0.0F, glm::dot(to, up))) / (4.0F * std::numbers::pi_v<float> * d2);
        for (const Exit& exit : stage_.exits()) {
            if (exit.light != light) continue;
            const glm::vec3 toExit_m = exit.shape.centre_m - point_m;
            const float squared = glm::dot(toExit_m, toExit_m) + 1e-6F;
            const glm::vec3 direction = toExit_m / std::sqrt(squared);
            const float seen = std::max(0.0F, -glm::dot(direction, exit.shape.frame.z)) * std::max(0.0F, glm::dot(direction, up));
            const float area_m2 = exit.shape.a_m * (exit.shape.kind == LampKind::disc ? exit.shape.a_m : exit.shape.b_m);
            sum += mean(exit.luminance_perSrM2(exit.shape.centre_m, direction)) * area_m2 * seen / (squared + area_m2);
        }
        return sum;
    }

    Bands lampOnScrim(const Shares& shares, std::uint32_t light, glm::vec3 point_m, glm::vec2 u) const {
        if (stage_.emitters()[light].hidden) return Bands{};
        const auto draw = sampleLamp(viewLamp(reach_.shape({light}), point_m, glm::vec3(0.0F)), u);
        if (!draw) return Bands{};
        Bands arriving(std::abs(glm::dot(draw->toLight, shares.front)) / draw->pdf_perSr);
        std::uint64_t boards = 0;
        if (!reach_.reaches({light}, leaving(shares, point_m, draw->toLight), *draw, nullptr, arriving, boards)) return Bands{};
        return arriving * shares.of(draw->toLight);
    }

    Bands exitOnScrim(const Shares& shares, const Exit& exit, glm::vec3 point_m, glm::vec2 u, float pick) const {
        const auto draw = drawExit(exit, point_m, glm::vec3(0.0F), u, pick);
        if (!draw) return Bands{};
        const LampSample& at = draw->point;
        Bands arriving = exit.luminance_perSrM2(point_m + at.distance_m * at.toLight, at.toLight) *
                         (std::abs(glm::dot(at.toLight, shares.front)) * draw->inverseDensity_sr);
        if (!reach_.isFree(Stage::Target::exit, leaving(shares, point_m, at.toLight), at, nullptr, arriving)) return Bands{};
        return arriving * shares.of(at.toLight);
    }

    static glm::vec3 leaving(const Shares& shares, glm::vec3 point_m, glm::vec3 direction) {
        return Stage::offsetOrigin(point_m, glm::dot(direction, shares.front) > 0.0F ? shares.front : -shares.front);
    }

    const Stage& stage_;
    const LampReach& reach_;
};

}  // namespace keyfall
