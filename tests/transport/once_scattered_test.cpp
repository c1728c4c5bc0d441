// Light that a modifier scatters once, looked back at from its exit, against photons from its lamp: two
// techniques for one integral. Not here: whole tables against the real modifier (bake_test.cpp).
#include "renderer/transport/once_scattered.h"

#include <catch2/catch.hpp>
#include <deque>
#include <numbers>

#include "modifier_bodies.h"
#include "renderer/transport/bake_cells.h"
#include "scene/bare_scene.h"
#include "set.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

constexpr int kFine = 33;  ///< directions of the table; compared in 3 x 3 blocks of them

/// The block of a cell: position and a ninth of the directions.
std::size_t blockOf(std::size_t cell) {
    const std::size_t n = kFine, third = kFine / 3;
    return cell / (n * n) * 9 + cell / n % n / third * 3 + cell % n / third;
}
constexpr std::size_t kBlocks = 4 * 9;

/// Flux of each block in band 4, and its standard error over the streams, by photons.
struct Photons {
    std::vector<double> flux;
    std::vector<double> error;
    double scattered = 0.0;
};
Photons photonsOf(const Stage& stage, const ModifierBody& body, const std::vector<TableFace>& faces,
                  bool withoutOnce) {
    std::deque<CellSums> sums;
    std::array<ExitSink*, kLightStreams> sinks{};
    for (ExitSink*& sink : sinks) sink = &sums.emplace_back(faces);
    LightTraceSettings settings;
    settings.run.threads = 2;
    settings.photons = 1U << 17U;
    settings.towardsAxis = true;
    settings.withoutOnceScattered = withoutOnce;
    const auto streams = traceLight(stage, body.exits, settings, sinks);
    Photons p;
    p.scattered = meanOf(streams).scattered.v[4];
    std::vector<std::array<double, kLightStreams>> own(kBlocks);
    for (std::size_t s = 0; s < kLightStreams; ++s)
        for (std::size_t c = 0; c < faces[0].cellCount(); ++c)
            own[blockOf(c)][s] +=
                static_cast<double>(sums[s].face(0)[c][4]) / static_cast<double>(streams[s].photons);
    for (const auto& block : own) {
        double mean = 0.0, squares = 0.0;
        for (const double x : block) mean += x / kLightStreams;
        for (const double x : block) squares += (x - mean) * (x - mean);
        p.flux.push_back(mean);
        p.error.push_back(std::sqrt(squares / (kLightStreams * (kLightStreams - 1.0))));
    }
    return p;
}

/// A satin box with a baffle that lets some light through straight, a mirror cap, matt specks of wall.
ModifierBody mixedBody() {
    Material baffle = skinOf(0.5F, 0.35F, 0.2F);
    ModifierBody body = boxBody({0.4F, 0.3F, 0.3F}, metalOf(0.85F, 0.5F), nullptr, -0.25F, &baffle, -0.1F);
    addPart(body, shellMesh({{0.0F, -0.06F}, {0.05F, -0.05F}}, 12), metalOf(0.9F, 0.0F));
    addPart(body, shellMesh({{0.06F, -0.09F}, {0.09F, -0.07F}}, 12), mattOf(0.6F));
    return body;
}

}  // namespace

TEST_CASE("scattered once: seen from the exit as sent from the lamp, part by part", "[bake][law][long]") {
    const ModifierBody body = mixedBody();
    const LampShape lamp = sphereLamp(glm::vec3(0.0F), 0.03F);
    const Scene scene = bareScene(lamp, mattOf(0.5F), &body, Doors::without);
    const Stage stage(scene, 2);
    BakeSettings size;
    size.along = size.across = 2;
    size.directions = kFine;
    const std::vector<TableFace> faces = tableFacesOf(body, size);
    RunSettings run;
    run.threads = 2;
    const auto once = onceScattered(stage, faces[0], cellMeasures_srM2(faces[0]), 1.0F, run);
    const Photons all = photonsOf(stage, body, faces, false), rest = photonsOf(stage, body, faces, true);
    std::vector<double> block(kBlocks, 0.0);
    for (std::size_t c = 0; c < once.size(); ++c) block[blockOf(c)] += once[c].v[4];
    double sum = 0.0;
    for (std::size_t k = 0; k < kBlocks; ++k) {
        const double expected = all.flux[k] - rest.flux[k];
        const double error = std::hypot(all.error[k], rest.error[k]);
        INFO("block " << k << ": " << block[k] << ", photons " << expected << " +- " << error);
        CHECK(std::abs(block[k] - expected) < 4.0 * error + 0.01 * expected);
        sum += block[k];
    }
    INFO("in all " << sum << ", photons " << all.scattered - rest.scattered << " of " << all.scattered);
    CHECK(sum == Approx(all.scattered - rest.scattered).epsilon(0.02));
    CHECK(sum > 0.05 * all.scattered);  // both parts are there
    CHECK(sum < 0.9 * all.scattered);
}

TEST_CASE("scattered once: (1 - f) rho f of a sphere's light leaves by its port", "[bake][law]") {
    // Any two parts of a sphere see each other alike: of what meets the wall, 1 - f, and is reflected, rho,
    // the port's share f of the sphere takes f. The integrating sphere's first term (textbook).
    const double port = 0.6, rho = 0.9, f = 0.5 * (1.0 - std::cos(port));
    ModifierBody body;
    body.exits = {discExit(static_cast<float>(std::sin(port)), 96)};
    body.exits[0].shape.centre_m.z = static_cast<float>(std::cos(port));
    const double wall = std::numbers::pi - port;
    std::vector<glm::vec2> profile;
    for (int i = 0; i <= 48; ++i) {
        const double t = port + wall * i / 48.0;
        profile.emplace_back(i == 48 ? 0.0F : static_cast<float>(std::sin(t)), static_cast<float>(std::cos(t)));
    }
    addPart(body, shellMesh(profile, 96), mattOf(0.9F));
    const Scene scene = bareScene(sphereLamp(glm::vec3(0.0F), 2e-3F), mattOf(0.0F), &body, Doors::without);
    const Stage stage(scene, 2);
    BakeSettings size;
    size.along = size.across = 3;
    size.directions = 9;
    const TableFace face = tableFacesOf(body, size).front();
    RunSettings run;
    run.threads = 2;
    double sum = 0.0;
    for (const BandSums& cell : onceScattered(stage, face, cellMeasures_srM2(face), 1.0F, run)) sum += cell.v[7];
    CHECK(sum == Approx((1.0 - f) * rho * f).epsilon(0.004));  // 48 x 96 facets: areas within 0.1 %
}
