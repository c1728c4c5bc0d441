#include "renderer/meter/lamp_bench.h"

#include <cmath>
#include <numbers>

#include "renderer/optics/sampler.h"

namespace keyfall {
namespace {

/// Half the diagonal of the lamp's own box.
float reachOf(const LampShape& s) {
    switch (s.kind) {
        case LampKind::sphere:
        case LampKind::disc: return 0.5F * s.a_m;
        case LampKind::ring: return 0.5F * (s.a_m + s.b_m);
        case LampKind::tube:
        case LampKind::panel: return 0.5F * std::hypot(s.a_m, s.b_m);
    }
    return s.a_m;
}

Box3 boundsOf(const Scene& scene) {
    Box3 box;
    const LampShape& lamp = scene.lights[0].shape;
    box.add(lamp.centre_m - reachOf(lamp));
    box.add(lamp.centre_m + reachOf(lamp));
    for (const Item& item : scene.items)
        for (const glm::vec3 p : item.mesh.position_m) box.add(p);
    return box;
}

/// `part` on top of `whole`, flat, with a material of its own.
void join(Item& whole, const Item& part) {
    const auto first = static_cast<std::uint32_t>(whole.mesh.position_m.size());
    whole.mesh.position_m.insert(whole.mesh.position_m.end(), part.mesh.position_m.begin(), part.mesh.position_m.end());
    for (const auto& t : part.mesh.triangle) {
        whole.mesh.triangle.push_back({first + t[0], first + t[1], first + t[2]});
        whole.mesh.slot.push_back(static_cast<std::uint16_t>(whole.materials.size()));
    }
    whole.materials.push_back(part.materials.front());
}

/// Paths that meet a door are told apart as those of a board are: all doors as one, so that a path
/// from one to the next counts once.
bool makeDoorsOneBoard(Scene& scene, const ModifierBody* body) {
    Item doors;
    std::vector<Item> rest;
    for (std::size_t i = 0; i < scene.items.size(); ++i)
        if (body->parts[i].outside) join(doors, scene.items[i]);
        else rest.push_back(std::move(scene.items[i]));
    scene.items = std::move(rest);
    if (doors.materials.empty()) return false;
    doors.name = "doors";
    doors.kind = ItemKind::board;
    scene.items.push_back(std::move(doors));
    return true;
}

void add(ReplicateBands& sum, const ReplicateBands& more, float factor) {
    for (std::size_t r = 0; r < kReplicates; ++r) sum[r].addScaled(more[r], factor);
}

}  // namespace

Reading weighted(const ReplicateBands& transfer, const BandXYZ& light) {
    return total({transfer}, {{1.0, light}});
}

LampBench::LampBench(const LampSubject& subject, const RunSettings& run)
    : subject_(subject), run_(run),
      scene_(bareScene(subject.shape, subject.lampBody, subject.body.get(), Doors::with)) {
    scene_.lights[0].web = subject.web;
    scene_.lights[0].body = subject.body;  // says whether the lamp itself is seen from outside
    hasDoors_ = makeDoorsOneBoard(scene_, subject.body.get());
    const Box3 box = boundsOf(scene_);
    middle_m_ = box.middle();
    radius_m_ = 0.5F * glm::length(box.size());
    stage_ = std::make_unique<Stage>(scene_, run.threads, LightTables{subject.table});
}

ProbeTransfer LampBench::trace(const Probe& probe, std::uint32_t points) {
    PathCounters counters;
    ProbeTransfer found = traceProbe(*stage_, probe, points, stream_, run_, counters);
    interrupted_ = interrupted_ || found.interrupted;
    return found;
}

ReplicateBands LampBench::illuminance_perM2(glm::vec3 at_m, glm::vec3 facing, std::uint32_t points) {
    Probe probe;
    probe.at_m = at_m;
    probe.facing = facing;
    probe.receptorRadius_m = 0.0;
    const ProbeTransfer found = trace(probe, points);
    ++stream_;
    return found.layer[0];
}

ReplicateBands LampBench::intensity_perSr(glm::vec3 direction, std::uint32_t points) {
    ReplicateBands sum;
    Probe probe;
    probe.facing = -direction;
    probe.receptorRadius_m = 0.0;
    // One stream for both distances: their noise is much the same and does not double.
    for (const float diameters : {50.0F, 100.0F}) {
        const float d_m = diameters * 2.0F * radius_m_;
        probe.at_m = middle_m_ + d_m * direction;
        const ProbeTransfer found = trace(probe, points);
        const float weight = (diameters > 75.0F ? 2.0F : -1.0F) * d_m * d_m;
        add(sum, found.layer[0], weight);
        // From so far, light that a door scatters is found by chance alone; it is looked for apart.
        if (hasDoors_)
            add(sum, found.board[0][0], -weight);
    }
    if (hasDoors_) add(sum, seenFrom(direction, 100.0F, Paths::byDoors, points), 1.0F);
    ++stream_;
    return sum;
}

/// A spot that holds everything, from some radii away: I = L * solid angle * d^2. Of the paths that a
/// surface turned: the lamp itself is a speck in that spot and shines as much as all the rest.
ReplicateBands LampBench::seenFrom(glm::vec3 direction, float radii, Paths which, std::uint32_t points) {
    const float d_m = radii * radius_m_;
    Probe probe;
    probe.kind = ProbeKind::spot;
    probe.at_m = middle_m_;
    probe.spotAngle_rad = 2.0 * std::atan(1.0 / static_cast<double>(radii));
    scene_.camera.lens_m = middle_m_ + d_m * direction;
    const ProbeTransfer found = trace(probe, points);
    const double sine = std::sin(0.25 * probe.spotAngle_rad);
    const double solid_sr = 4.0 * std::numbers::pi * sine * sine;
    const float toIntensity = static_cast<float>(solid_sr) * d_m * d_m;
    ReplicateBands sum;
    add(sum, which == Paths::turned ? found.layer[0] : found.board[0][0], toIntensity);
    if (which == Paths::turned) add(sum, found.straight[0], -toIntensity);
    return sum;
}

ReplicateBands LampBench::tracedIntensity_perSr(glm::vec3 direction, std::uint32_t points) {
    ReplicateBands sum;
    add(sum, seenFrom(direction, 100.0F, Paths::turned, points), -1.0F);
    add(sum, seenFrom(direction, 200.0F, Paths::turned, points), 2.0F);
    ++stream_;
    add(sum, straightIntensity_perSr(direction, points), 1.0F);
    return sum;
}

/// Illuminance at a point that faces the lamp's surroundings, by one point of the lamp.
Bands LampBench::straightTransfer_perM2(glm::vec3 at_m, glm::vec2 u) const {
    const Emitter& lamp = stage_->emitters()[0];
    const glm::vec3 facing = glm::normalize(middle_m_ - at_m);
    const auto draw = sampleLamp(viewLamp(lamp.shape, at_m, facing), u);
    if (!draw) return {};
    Bands transfer(lamp.luminance_perSrM2(-draw->toLight) * std::max(0.0F, glm::dot(facing, draw->toLight)) / draw->pdf_perSr);
    std::uint64_t rays = 0;
    const bool arrives = stage_->throughSheets(at_m, draw->toLight, draw->distance_m, 0, transfer, rays);
    return arrives ? transfer : Bands();
}

ReplicateBands LampBench::straightIntensity_perSr(glm::vec3 direction, std::uint32_t points) {
    ReplicateBands sum;
    for (const float radii : {100.0F, 200.0F}) {
        const float d_m = radii * radius_m_;
        const float weight = (radii > 150.0F ? 2.0F : -1.0F) * d_m * d_m / static_cast<float>(points);
        for (std::uint32_t r = 0; r < kReplicates; ++r)
            for (std::uint32_t i = 0; i < points; ++i) {
                PathSampler sampler(run_.seed, stream_ * kReplicates + r, i);
                sum[r].addScaled(straightTransfer_perM2(middle_m_ + d_m * direction, sampler.next2D()), weight);
            }
    }
    ++stream_;
    return sum;
}

ReplicateBands LampBench::frontLuminance_perSrM2(glm::vec3 spot_m, double radius_m, std::uint32_t points) {
    const float d_m = 100.0F * radius_m_;
    Probe probe;
    probe.kind = ProbeKind::spot;
    probe.at_m = spot_m;
    probe.spotAngle_rad = 2.0 * std::atan(radius_m / static_cast<double>(d_m));
    scene_.camera.lens_m = probe.at_m + glm::vec3(0, 0, d_m);
    const ProbeTransfer found = trace(probe, points);
    ++stream_;
    return found.layer[0];
}

}  // namespace keyfall
