// What a near-field table sends to a point, against the real modifier traced from that point.
// Not here: the figures demanded (bake_test.cpp).
#pragma once

#include <array>
#include <cmath>
#include <numbers>

#include "renderer/optics/sampler.h"
#include "renderer/transport/path.h"
#include "renderer/transport/run.h"
#include "scene/near_field_table.h"

namespace keyfall::test {

/// A receiver in the modifier's frame that faces the middle of the exit.
struct Receiver {
    glm::vec3 point_m{0.0F};
    glm::vec3 normal{0, 0, -1};
};

/// `angle` off the axis, `azimuth` about it, both in degrees.
inline Receiver receiverAt(double distance_m, double angle_deg, double azimuth_deg) {
    const double a = angle_deg * std::numbers::pi / 180.0, f = azimuth_deg * std::numbers::pi / 180.0;
    const glm::dvec3 d(std::sin(a) * std::cos(f), std::sin(a) * std::sin(f), std::cos(a));
    return {glm::vec3(distance_m * d), glm::vec3(-d)};
}

/// A point of a face, uniform over its shape, and the area that all points share.
inline glm::vec2 pointOn(const LampShape& shape, glm::vec2 u) {
    if (shape.kind == LampKind::disc) return 0.5F * shape.a_m * sampleDisk(u);
    return (u - 0.5F) * glm::vec2(shape.a_m, shape.b_m);
}
inline double wholeArea_m2(const LampShape& s) {
    const auto a = static_cast<double>(s.a_m);
    return s.kind == LampKind::disc ? 0.25 * std::numbers::pi * a * a : a * static_cast<double>(s.b_m);
}

/// The geometry of one point of a face as seen from a receiver: E = sum of L * weight.
struct ExitView {
    glm::vec2 local_m{0.0F};
    glm::vec3 towards{0, 0, 1};  ///< from the exit to the receiver, world
    double weight_sr = 0.0;      ///< cos cos area / d^2; 0 where one faces away or the outline is shut
};
inline ExitView viewOf(const ExitFace& exit, const Receiver& r, glm::vec2 u) {
    ExitView v;
    v.local_m = pointOn(exit.shape, u);
    const Frame& f = exit.shape.frame;
    const glm::vec3 offset = r.point_m - (exit.shape.centre_m + f.toWorld(glm::vec3(v.local_m, 0.0F)));
    const double d = static_cast<double>(glm::length(offset));
    v.towards = glm::normalize(offset);
    const double cosExit = static_cast<double>(glm::dot(v.towards, f.z));
    const double cosReceiver = -static_cast<double>(glm::dot(v.towards, r.normal));
    if (cosExit > 0.0 && cosReceiver > 0.0 && isOpen(exit, v.local_m))
        v.weight_sr = cosExit * cosReceiver * wholeArea_m2(exit.shape) / (d * d);
    return v;
}

/// Illuminance per unit flux of the lamp, 1/m2, in one band, by 2^14 points over each face.
inline double tableIlluminance(const NearFieldTable& table, const Receiver& r, int band) {
    double sum = 0.0;
    for (const TableFace& face : table.faces)
        for (std::uint32_t i = 0; i < 1U << 14U; ++i) {
            const ExitView v = viewOf(face.exit, r, PathSampler(77U, 0U, i).next2D());
            if (v.weight_sr <= 0.0) continue;
            const Bands l = luminance_perSrM2(face, v.local_m, face.exit.shape.frame.toLocal(v.towards));
            sum += v.weight_sr * static_cast<double>(l[band]);
        }
    return sum / (1U << 14U);
}

/// Adds what a path finds of layer 0, but for the lamp seen without a scattering: its first hit.
struct ScatteredLight {
    int band = 0;
    double sum = 0.0;
    bool onLamp = false;

    void firstHit(const SurfacePoint& s) { onLamp = s.emitter != kNoEmitter && s.emits; }
    void add(std::uint32_t, const Bands& transfer, const Arrival&) {
        if (!onLamp) sum += static_cast<double>(transfer[band]);
        onLamp = false;
    }
    void addHighlight(std::uint32_t, const Bands&) {}
};

struct Traced {
    double value = 0.0;
    double standardError = 0.0;
};
inline Traced tracedFrom(const std::array<double, 16>& replicate) {
    Traced t;
    for (const double x : replicate) t.value += x / 16.0;
    double squares = 0.0;
    for (const double x : replicate) squares += (x - t.value) * (x - t.value);
    t.standardError = std::sqrt(squares / (16.0 * 15.0));
    return t;
}

/// 16 scramblings of `paths` points on the faces of `exits`; `weighted(exit, sampler) -> {ray, weight}`
/// draws the eye's ray into the modifier.
template <class Draw>
Traced traceInto(const Stage& stage, const std::vector<ExitFace>& exits, std::uint32_t paths, int band,
                 const Draw& draw) {
    const LayerTable layers = layerTable(stage.scene());
    std::array<double, 16> replicate{};
    parallelTasks(2, replicate.size(), [&](std::size_t k) {
        for (std::size_t f = 0; f < exits.size(); ++f)
            for (std::uint32_t i = 0; i < paths; ++i) {
                PathSampler sampler(5U, static_cast<std::uint32_t>(16 * f + k), i);
                double weight = 0.0;
                const Ray ray = draw(exits[f], sampler, weight);
                if (weight <= 0.0) continue;
                ScatteredLight sink;
                sink.band = band;
                PathCounters counters;
                Path<PathSampler, ScatteredLight>(stage, layers, sampler, sink, counters).fromEye(ray);
                replicate[k] += sink.sum * weight / paths;
            }
    });
    return tracedFrom(replicate);
}

/// The same illuminance through the real modifier: by points on the exits, or, where an exit fills much of
/// the view, by directions that follow the cosine.
inline Traced tracedIlluminance(const Stage& stage, const std::vector<ExitFace>& exits, const Receiver& r,
                                std::uint32_t paths, int band) {
    const auto draw = [&](const ExitFace& exit, PathSampler& sampler, double& weight) {
        const LampShape& s = exit.shape;
        const auto d2 = static_cast<double>(glm::dot(r.point_m - s.centre_m, r.point_m - s.centre_m));
        if (wholeArea_m2(s) < 2.0 * d2) {
            const ExitView v = viewOf(exit, r, sampler.next2D());
            weight = v.weight_sr;
            return Ray{r.point_m, -v.towards};
        }
        const Ray ray{r.point_m, frameAround(r.normal).toWorld(sampleCosineHemisphere(sampler.next2D()))};
        const float cosine = glm::dot(ray.direction, s.frame.z);
        const float t = glm::dot(s.centre_m - r.point_m, s.frame.z) / cosine;
        const glm::vec3 at = s.frame.toLocal(r.point_m + t * ray.direction - s.centre_m);
        weight = cosine < 0.0F && isOpen(exit, glm::vec2(at)) ? std::numbers::pi : 0.0;
        return ray;
    };
    return traceInto(stage, exits, paths, band, draw);
}

/// Flux of scattered light per unit flux of the lamp, by eye paths into the exits: cosine-distributed
/// directions over uniform points, so that L counts pi times the area.
inline Traced tracedFlux(const Stage& stage, const std::vector<ExitFace>& exits, std::uint32_t paths,
                         int band) {
    const auto draw = [](const ExitFace& exit, PathSampler& sampler, double& weight) {
        const glm::vec2 local = pointOn(exit.shape, sampler.next2D());
        sampler.goTo(1000000U);
        const Frame& f = exit.shape.frame;
        const glm::vec3 out = f.toWorld(sampleCosineHemisphere(sampler.next2D()));
        weight = isOpen(exit, local) ? std::numbers::pi * wholeArea_m2(exit.shape) : 0.0;
        const glm::vec3 from = exit.shape.centre_m + f.toWorld(glm::vec3(local, 0.0F)) + 1e-3F * out;
        return Ray{from, -out};
    };
    return traceInto(stage, exits, paths, band, draw);
}

}  // namespace keyfall::test
