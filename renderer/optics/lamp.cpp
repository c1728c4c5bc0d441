// The table of lamp shapes and the public functions that go through it. Not here: any shape.
#include "renderer/optics/lamp.h"

#include "renderer/optics/lamp_shapes.h"

namespace keyfall {

namespace {

const lamps::Shape& shapeOf(LampKind kind) {
    switch (kind) {
        case LampKind::sphere: return lamps::kSphere;
        case LampKind::tube: return lamps::kTube;
        case LampKind::ring: return lamps::kRing;
        case LampKind::disc: return lamps::kDisc;
        case LampKind::panel: break;
    }
    return lamps::kPanel;
}

}  // namespace

std::optional<LampHit> intersectLamp(const LampShape& lamp, glm::vec3 origin_m,
                                     glm::vec3 direction, float near_m, float far_m) {
    const glm::dvec3 d = lamps::toLocal(lamp.frame, glm::dvec3(direction));
    const lamps::LocalRay ray{lamps::localPoint(lamp, origin_m), d / std::sqrt(glm::dot(d, d))};
    return shapeOf(lamp.kind).intersect(lamp, ray, static_cast<double>(near_m),
                                        static_cast<double>(far_m));
}

LampView viewLamp(const LampShape& lamp, glm::vec3 point_m, glm::vec3 normal) {
    LampView view;
    view.lamp = &lamp;
    view.point_m = point_m;
    view.normal = normal;
    shapeOf(lamp.kind).view(view);
    return view;
}

std::optional<LampSample> sampleLamp(const LampView& view, glm::vec2 u) {
    if (view.technique == 0) return std::nullopt;
    return shapeOf(view.lamp->kind).sample(view, glm::dvec2(u));
}

float pdfLamp_perSr(const LampView& view, glm::vec3 direction, const LampHit& hit) {
    if (view.technique == 0 || !hit.emits) return 0.0F;
    const double pdf = shapeOf(view.lamp->kind).pdf(view, direction, hit);
    return pdf < static_cast<double>(std::numeric_limits<float>::max()) ? static_cast<float>(pdf)
                                                                        : 0.0F;
}

double emittingArea_m2(const LampShape& lamp) { return shapeOf(lamp.kind).area(lamp); }

// A Lambertian surface of luminance L emits pi L per area; what meets the lamp again is lost.
double luminancePerFlux_perSrM2(const LampShape& lamp) {
    return 1.0 / (kPi * emittingArea_m2(lamp) * leavingShare(lamp));
}

namespace lamps {

glm::dvec2 unitDisk(glm::dvec2 u) {
    const glm::dvec2 p = 2.0 * u - 1.0;
    if (p.x == 0.0 && p.y == 0.0) return p;
    const bool alongX = std::fabs(p.x) > std::fabs(p.y);
    const double radius = alongX ? p.x : p.y;
    const SinCos phi = sinCosTurns(alongX ? 0.125 * (p.y / p.x) : 0.25 - 0.125 * (p.x / p.y));
    return {radius * phi.cos, radius * phi.sin};
}

}  // namespace lamps

}  // namespace keyfall
