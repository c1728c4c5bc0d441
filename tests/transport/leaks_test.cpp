// Nothing gets through what is closed: boxes, shared edges, slabs on tables.
#include <catch2/catch.hpp>

#include "renderer/optics/sampler.h"
#include "renderer/optics/warp.h"
#include "set.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

struct CountingSink {
    double light = 0.0;
    std::uint64_t below = 0;
    void add(std::uint32_t, const Bands& transfer, const Arrival&) { light += static_cast<double>(transfer.largest()); }
    void addHighlight(std::uint32_t, const Bands&) {}
    void firstHit(const SurfacePoint&) {}
};

/// Paths from random points inside a box; all light they find.
double lightInside(const Stage& stage, std::uint32_t paths, float halfEdge_m) {
    const LayerTable layers = layerTable(stage.scene());
    constexpr std::size_t kTasks = 64;
    std::array<double, kTasks> found{};
    parallelTasks(2, kTasks, [&](std::size_t task) {
        CountingSink sink;
        PathCounters counters;
        for (std::uint32_t i = 0; i < paths / kTasks; ++i) {
            PathSampler sampler(11, static_cast<std::uint32_t>(task), i);
            const glm::vec2 a = sampler.next2D();
            const glm::vec3 at = (glm::vec3(a, sampler.next1D()) * 2.0F - 1.0F) * halfEdge_m;
            const Ray ray{at, sampleUniformSphere(sampler.next2D())};
            Path<PathSampler, CountingSink>(stage, layers, sampler, sink, counters).fromEye(ray);
        }
        found[task] = sink.light;
    });
    double sum = 0.0;
    for (const double f : found) sum += f;
    return sum;
}

Set closedBox(float reflectance) {
    Set set;
    Mesh box = boxMesh(glm::vec3(0.2F));
    for (glm::vec3& p : box.position_m) p.y -= 0.1F;
    set.item(std::move(box), set.matt(reflectance));
    set.light(sphereLamp({0.3F, 0.2F, 0.25F}, 0.1F), 1000.0);
    set.light(panelLamp({-0.101F, 0, 0}, {1, 0, 0}, 0.5F, 0.5F), 1000.0);
    return set;
}

}  // namespace

TEST_CASE("closed black box: no light inside after 1e8 paths", "[law][transport][long]") {
    // Derived: exactly 0. One lamp touches the wall's outside at 1 mm.
    const Set set = closedBox(0.0F);
    const Stage stage(set.scene);
    CHECK(lightInside(stage, 100'000'000U, 0.0999F) == 0.0);
}

TEST_CASE("closed white box: no light inside, however long the paths", "[law][transport][long]") {
    const Set set = closedBox(0.95F);
    const Stage stage(set.scene);
    CHECK(lightInside(stage, 200'000U, 0.0999F) == 0.0);
}

TEST_CASE("glass slab on a white table: no path goes below the table", "[law][transport][long]") {
    // The slab stands 0.1 mm above the table, as the reader raises it; a lamp waits below the
    // table and must never be found in 1e7 paths.
    Set set;
    set.item(sheet({0, 0, 0}, {0, 1, 0}, {2.0F, 2.0F}), set.matt(0.9F), ItemKind::table);
    Material clear;
    clear.base = Base::glass;
    clear.ior = 1.52F;
    Mesh box = boxMesh({0.1F, 0.01F, 0.1F});
    for (glm::vec3& p : box.position_m) p.y += 1e-4F;
    set.item(std::move(box), set.material(clear), ItemKind::product);
    set.light(panelLamp({0, -0.05F, 0}, {0, 1, 0}, 1.0F, 1.0F), 1000.0);
    const Stage stage(set.scene);
    const LayerTable layers = layerTable(set.scene);
    constexpr std::size_t kTasks = 64;
    std::array<double, kTasks> found{};
    parallelTasks(2, kTasks, [&](std::size_t task) {
        CountingSink sink;
        PathCounters counters;
        for (std::uint32_t i = 0; i < 10'000'000U / kTasks; ++i) {
            PathSampler sampler(5, static_cast<std::uint32_t>(task), i);
            const glm::vec2 u = sampler.next2D() * 0.12F - 0.06F;
            const Ray ray{{0.0F, 0.4F, 0.5F}, glm::normalize(glm::vec3(u.x, -0.395F, -0.5F + u.y))};
            Path<PathSampler, CountingSink>(stage, layers, sampler, sink, counters).fromEye(ray);
        }
        found[task] = sink.light;
    });
    double sum = 0.0;
    for (const double f : found) sum += f;
    CHECK(sum == 0.0);
}

TEST_CASE("what stands right in front of a lamp hides it from afar, too", "[law][transport]") {
    // Derived: exactly 0 behind a black sheet half a millimetre before the lamp, as a shut barn door hangs.
    // Without the sheet I / d^2 with I = flux / pi (Lambert's law), less 2 (0.1 / d)^2 for the panel's size.
    for (const glm::vec3 origin : {glm::vec3(0.0F), glm::vec3(60.0F, 3.0F, -45.0F)})
        for (const float distance_m : {2.0F, 20.0F, 35.0F}) {
            Set set;
            set.light(panelLamp(origin, {0, 0, 1}, 0.1F, 0.1F), 1000.0);
            const Probe probe = set.probe(origin + glm::vec3(0, 0, distance_m), {0, 0, -1});
            const double d = static_cast<double>(distance_m);
            const Stage open(set.scene);
            CHECK(illuminance_lx(open, probe, 64).mean() == Approx(1000.0 / (3.14159265 * d * d)).epsilon(0.005));
            if (origin != glm::vec3(0.0F)) continue;
            set.item(sheet({0, 0, 0.0005F}, {0, 0, 1}, glm::vec2(0.3F)), set.matt(0.0F));
            const Stage shut(set.scene);
            CHECK(illuminance_lx(shut, probe, 64).mean() == 0.0);
        }
}
