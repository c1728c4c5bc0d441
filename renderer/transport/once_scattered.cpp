#include "renderer/transport/once_scattered.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "renderer/optics/bsdf.h"
#include "renderer/optics/sampler.h"

namespace keyfall {
namespace {

/// A view starts so far in front of the face: a surface may lie in its plane.
constexpr float kBefore_m = 50e-6F;

class LookBack {
  public:
    explicit LookBack(const Stage& stage) : stage_(stage), lamp_(stage.emitters().front()) {}

    /// Luminance per unit flux that leaves through `local_m` of the exit along `direction`, both in its
    /// axes, by one draw of the lamp's surface.
    Bands operator()(const ExitFace& exit, glm::vec2 local_m, glm::vec3 direction, glm::vec2 u) const {
        const LampShape& face = exit.shape;
        const glm::vec3 out = face.frame.toWorld(direction);
        const glm::vec3 at_m = face.centre_m + face.frame.toWorld(glm::vec3(local_m, 0.0F));
        const glm::vec3 eye_m = at_m + kBefore_m / direction.z * out;
        const auto hit = stage_.intersect(eye_m, -out);
        if (!hit) return {};
        const SurfacePoint s = stage_.surfaceAt(*hit, eye_m, -out);
        return s.emitter == kNoEmitter ? lit(s, out, u) : Bands{};
    }

  private:
    Bands lit(const SurfacePoint& s, glm::vec3 out, glm::vec2 u) const {
        const Bsdf bsdf = untexturedBsdf(*s.material);
        if (!isWhollyRough(bsdf)) return {};
        const bool bothSides = s.material->base == Base::sheet;
        const auto draw =
            sampleLamp(viewLamp(lamp_.shape, s.position_m, bothSides ? glm::vec3(0.0F) : s.geometricNormal), u);
        if (!draw) return {};
        const glm::vec3 wo = s.shading.toLocal(out), wi = s.shading.toLocal(draw->toLight);
        const Bands f = evaluate(bsdf, wo, wi);
        if (f.isBlack()) return {};
        Bands l = f * (lamp_.luminancePerFlux_perSrM2 / draw->pdf_perSr);
        const glm::vec3 side = wi.z < 0.0F ? -s.geometricNormal : s.geometricNormal;
        std::uint64_t rays = 0;
        const bool free = stage_.throughSheets(Stage::offsetOrigin(s.position_m, side), draw->toLight,
                                               draw->distance_m, 0U, l, rays);
        return free ? l : Bands{};
    }

    const Stage& stage_;
    const Emitter& lamp_;
};

/// A receiver far out on the axis sees few cells, and they lie where rho, the sine of the angle to the
/// axis, is small; off the axis it sees many. So the views go as 1 / rho.
int viewsOf(const TableFace& face, std::size_t cell, float share) {
    const float views = 2.9F * share;
    const auto n = static_cast<std::size_t>(face.directions);
    const auto half = 0.5F * static_cast<float>(n);
    const glm::vec2 at(static_cast<float>(cell / n % n) + 0.5F - half, static_cast<float>(cell % n) + 0.5F - half);
    const float rho = std::max(1.0F, glm::length(at)) / half;
    return static_cast<int>(std::bit_ceil(static_cast<unsigned>(std::lround(views / std::min(rho, 1.0F)))));
}

BandSums fluxOfCell(const LookBack& look, const TableFace& face, std::size_t cell, double measure_srM2,
                    int views, std::uint32_t seed) {
    BandSums sum;
    int seen = 0;
    for (int i = 0; i < views; ++i) {
        PathSampler sampler(seed, static_cast<std::uint32_t>(cell), static_cast<std::uint32_t>(i));
        const glm::vec2 position = sampler.next2D();
        const ExitRay ray = rayOfCell(face, cell, position, sampler.next2D());
        if (ray.direction.z <= 0.0F || !isOpen(face.exit, ray.local_m)) continue;
        ++seen;
        sum.add(look(face.exit, ray.local_m, ray.direction, sampler.next2D()));
    }
    if (seen > 0) sum.scale(measure_srM2 / seen);
    return sum;
}

}  // namespace

std::vector<BandSums> onceScattered(const Stage& stage, const TableFace& face,
                                    const std::vector<double>& measure_srM2, float share,
                                    const RunSettings& run) {
    const LookBack look(stage);
    std::vector<BandSums> flux(measure_srM2.size());
    const auto each = static_cast<std::size_t>(face.directions) * static_cast<std::size_t>(face.directions);
    parallelTasks(run.threads, flux.size() / each, [&](std::size_t position) {
        if (run.stop != nullptr && *run.stop) return;
        for (std::size_t c = position * each; c < (position + 1) * each; ++c)
            if (measure_srM2[c] > 0.0)
                flux[c] = fluxOfCell(look, face, c, measure_srM2[c], viewsOf(face, c, share), run.seed);
    });
    return flux;
}

}  // namespace keyfall
