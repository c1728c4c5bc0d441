// How much of a render's time the bare ray tracing kernel would need for the same rays.
#include <embree3/rtcore.h>
#include <fmt/core.h>
#include <pmmintrin.h>

#include <cmath>

#include "bench.h"
#include "renderer/stage/lamp_geometry.h"
#include "renderer/stage/ray_tape.h"
#include "renderer/transport/layers.h"

namespace keyfall::bench {
namespace {

constexpr int kSamples = 16;

template <class Ray>
void fill(Ray& r, const TapedRay& t) {
    // As the stage fills them: the kernel's own best case.
    _mm_store_ps(&r.org_x, _mm_setr_ps(t.origin_m.x, t.origin_m.y, t.origin_m.z, t.near_m));
    _mm_store_ps(&r.dir_x, _mm_setr_ps(t.direction.x, t.direction.y, t.direction.z, 0.0F));
    r.tfar = t.far_m;
    r.mask = t.mask;
    r.id = 0;
    r.flags = 0;
}

/// Asks everything again; the count of hits keeps the optimiser honest.
std::size_t replay(RTCScene scene, const RayTape& tape) {
    std::size_t hits = 0;
    for (const TapedRay& t : tape.rays) {
        QueryContext context;
        rtcInitIntersectContext(&context.base);
        context.ignoredEmitter = t.ignoredEmitter;
        if (t.shadow) {
            RTCRay ray;
            fill(ray, t);
            rtcOccluded1(scene, &context.base, &ray);
            hits += ray.tfar < 0.0F ? 1U : 0U;
        } else {
            RTCRayHit ray;
            fill(ray.ray, t);
            ray.hit.geomID = RTC_INVALID_GEOMETRY_ID;
            ray.hit.instID[0] = RTC_INVALID_GEOMETRY_ID;
            rtcIntersect1(scene, &context.base, &ray);
            hits += ray.hit.geomID != RTC_INVALID_GEOMETRY_ID ? 1U : 0U;
        }
    }
    return hits;
}

struct Timed {
    double cpu_s = 0.0;
    RenderResult result;
    double meanRelativeVariance = 0.0;  ///< of a pixel's luminance
};

Timed timedRender(const Stage& stage, const Scene& scene) {
    Film film(scene.picture.width_px, scene.picture.height_px, layerInfos(scene));
    const double from_s = cpuSeconds();
    Timed t;
    t.result = render(stage, film, fixedSamples(kSamples, 1));
    t.cpu_s = cpuSeconds() - from_s;
    // The noise map is the standard error in stops: relative error = stops * ln 2.
    double sum = 0.0;
    std::size_t lit = 0;
    for (const float stops : noiseMap_stops(film, mixAsSet(scene, scene.camera.shutter_s.exact))) {
        const double relative = static_cast<double>(stops) * std::log(2.0);
        sum += relative * relative;
        lit += stops > 0.0F ? 1U : 0U;
    }
    t.meanRelativeVariance = sum / static_cast<double>(lit);
    return t;
}

}  // namespace

void benchKernelShare(const Settings& settings) {
    const Scene scene = demoScene(settings.width_px);
    Stage stage(scene);
    RayTape tape;
    stage.recordRays(&tape);
    const Timed taped = timedRender(stage, scene);
    stage.recordRays(nullptr);

    std::vector<double> share, render_s, replay_s;
    Timed last;
    std::size_t hits = 0;
    for (int i = 0; i < settings.repeats; ++i) {
        last = timedRender(stage, scene);
        const double from_s = cpuSeconds();
        // Through the renderer's own loop: denormals are flushed for both.
        parallelTasks(1, 1, [&](std::size_t) { hits += replay(stage.embree(), tape); });
        replay_s.push_back(cpuSeconds() - from_s);
        render_s.push_back(last.cpu_s);
        share.push_back(replay_s.back() / render_s.back());
    }
    const Spread s = spreadOf(share);
    const double median_s = spreadOf(render_s).median;
    const auto rays = static_cast<double>(last.result.counters.rays);
    fmt::print("Share of the bare kernel: demo, {} px wide, {} samples, 1 thread, CPU time\n",
               settings.width_px, kSamples);
    printGoal("kernel alone / render", text(s, 3), ">= 0.42 (aim 0.5)", s.median >= 0.42);
    fmt::print("  render {} s, kernel alone {} s, render while taping {:.2f} s\n",
               text(spreadOf(render_s), 2), text(spreadOf(replay_s), 2), taped.cpu_s);
    fmt::print("  {} rays taped, {:.0f} counted, {:.1f} % hits; {:.2f} rays per sample, {:.2f} Mray/s\n",
               tape.rays.size(), rays,
               100.0 * static_cast<double>(hits) / (settings.repeats * static_cast<double>(tape.rays.size())),
               rays / static_cast<double>(last.result.counters.paths), rays * 1e-6 / median_s);
    fmt::print("  mean relative variance {:.3g}, efficiency 1/(variance x CPU-s) {:.3g}\n",
               last.meanRelativeVariance, 1.0 / (last.meanRelativeVariance * median_s));
}

}  // namespace keyfall::bench
