#include "renderer/meter/ambient.h"

#include <algorithm>

#include "renderer/transport/layers.h"

namespace keyfall {
namespace {

bool anyOn(const Scene& scene, Which which) {
    return anyLight(mixAsSet(scene, 1.0, which));
}

/// Layers of the lights come first and in their order; after them only continuous ones.
bool isFlash(const Scene& scene, std::size_t layer) {
    return layer < scene.lights.size() && scene.lights[layer].kind == LightKind::flash;
}

Reading exposureOf(const Scene& scene, const ProbeReading& r, bool flash) {
    Reading sum;
    for (std::size_t l = 0; l < r.byLight.size(); ++l)
        if (isFlash(scene, l) == flash) sum += r.byLight[l].exposure;
    return sum;
}

}  // namespace

bool anyFlashOn(const Scene& scene) { return anyOn(scene, Which::flash); }
bool anyContinuousOn(const Scene& scene) { return anyOn(scene, Which::continuous); }

Reading flashExposure(const Scene& scene, const ProbeReading& r) { return exposureOf(scene, r, true); }
Reading ambientExposure(const Scene& scene, const ProbeReading& r) { return exposureOf(scene, r, false); }

std::optional<Measured> ambientStops(const Scene& scene, const ProbeReading& r) {
    return stopsBetween(ambientExposure(scene, r), flashExposure(scene, r));
}

std::optional<Measured> continuousStops(const Scene& scene, const ProbeReading& r, double time_s) {
    Reading video = ambientExposure(scene, r);
    video *= time_s / scene.camera.shutter_s.exact;
    return stopsBetween(video, r.exposure);
}

}  // namespace keyfall
