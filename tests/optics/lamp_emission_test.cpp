// Light as it starts at a lamp: where, which way, and how bright that makes the lamp from afar.
// Not here: lamps as seen from a point (lamp_*_test.cpp).
#include "renderer/optics/lamp_emission.h"

#include <catch2/catch.hpp>

#include "renderer/optics/lamp.h"
#include "tests/optics/chi_square.h"
#include "tests/optics/lamp_cases.h"

namespace keyfall::test {

namespace {

struct Emitter {
    const char* name;
    LampShape lamp;
};

std::vector<Emitter> emitters() {
    return {{"sphere", tiltedLamp(LampKind::sphere, 0.3F, 0.0F)},
            {"tube", tiltedLamp(LampKind::tube, 0.2F, 0.05F)},
            {"puck", tiltedLamp(LampKind::tube, 0.04F, 0.1F)},
            {"ring", tiltedLamp(LampKind::ring, 0.2F, 0.06F)},
            {"fat ring", tiltedLamp(LampKind::ring, 0.2F, 0.16F)},
            {"disc", tiltedLamp(LampKind::disc, 0.18F, 0.0F)},
            {"disc, both sides", tiltedLamp(LampKind::disc, 0.18F, 0.0F, true)},
            {"panel", tiltedLamp(LampKind::panel, 0.6F, 0.4F)},
            {"panel, both sides", tiltedLamp(LampKind::panel, 0.6F, 0.4F, true)}};
}

/// Power per solid angle of a lamp, as a density over directions: its projected luminous area, seen along
/// `d`, over the whole: area / (pi * emitting area * leaving share). The area by jittered parallel rays.
double densityByParallelRays(const LampShape& lamp, glm::vec3 d, int rays, Uniform& random) {
    const Frame f = frameAround(d);
    const float reach = 0.5F * (lamp.a_m + lamp.b_m) + 0.01F;
    int met = 0;
    for (int i = 0; i < rays * rays; ++i) {
        const glm::vec2 u = (glm::vec2(i % rays, i / rays) + random.two()) / static_cast<float>(rays);
        const glm::vec2 at = reach * (2.0F * u - 1.0F);
        const glm::vec3 from = lamp.centre_m + f.toWorld({at.x, at.y, 2.0F * reach});
        const auto hit = intersectLamp(lamp, from, -d, 0.0F, 10.0F);
        met += hit && hit->emits ? 1 : 0;
    }
    const double area = 4.0 * static_cast<double>(reach * reach) * met / (rays * rays);
    return area * luminancePerFlux_perSrM2(lamp);
}

}  // namespace

TEST_CASE("emission starts on the body, outward, and spreads by Lambert's law", "[lamp][emission]") {
    for (const Emitter& e : emitters()) {
        Uniform random(3U);
        double cosines = 0.0;
        constexpr int kDraws = 20000;
        for (int i = 0; i < kDraws; ++i) {
            const glm::vec2 position = random.two();
            const EmittedRay ray = sampleEmission(e.lamp, position, random.two());
            const float cosine = glm::dot(ray.normal, ray.direction);
            REQUIRE(cosine >= -1e-6F);
            cosines += static_cast<double>(cosine);
            // The very point is found again from just outside it, and it emits.
            const auto hit = intersectLamp(e.lamp, ray.origin_m + 1e-3F * ray.normal, -ray.normal, 0.0F, 1.0F);
            REQUIRE(hit);
            REQUIRE(hit->emits);
            REQUIRE(hit->distance_m == Approx(1e-3F).margin(1e-6));
            REQUIRE(glm::dot(hit->normal, ray.normal) > 0.999F);
        }
        // Lambert: mean of cos is 2/3, its variance 1/2 - 4/9 = 1/18.
        INFO(e.name);
        CHECK(cosines / kDraws == Approx(2.0 / 3.0).margin(4.0 * std::sqrt(1.0 / 18.0 / kDraws)));
    }
}

TEST_CASE("emission is even over the body: equal areas start equal light", "[lamp][emission][chi2]") {
    // The body's surface in cells of known area. Cells by the point's direction from the centre, where the
    // areas follow from the shape; closed forms beside each.
    constexpr int kDraws = 40000;
    constexpr int kCells = 16;
    for (const Emitter& e : emitters()) {
        std::vector<double> expected, observed(kCells * 3U, 0.0);
        const double a = 0.5 * static_cast<double>(e.lamp.a_m), b = 0.5 * static_cast<double>(e.lamp.b_m);
        const double pi = 3.14159265358979323846;
        Uniform random(29U);
        const double area = emittingArea_m2(e.lamp);
        expected.assign(kCells * 3U, 0.0);
        // Expected shares: parts of `area`, cell by cell.
        for (std::size_t i = 0; i < kCells; ++i) {
            const double low = -1.0 + 2.0 * static_cast<double>(i) / kCells, high = low + 2.0 / kCells;
            switch (e.lamp.kind) {
                case LampKind::sphere: expected[i] = 1.0 / kCells; break;  // Archimedes: zones by height
                case LampKind::tube:
                    expected[i] = 2.0 * pi * b * (2.0 * a / kCells) / area;  // the side by x
                    expected[kCells + i] = pi * b * b / kCells / area;       // ends by r^2
                    expected[2 * kCells + i] = pi * b * b / kCells / area;
                    break;
                case LampKind::ring: {  // by the angle d about the tube: b (a + b cos d) 2 pi dd
                    const double d0 = pi * low, d1 = pi * high;
                    expected[i] = 2.0 * pi * b * (a * (d1 - d0) + b * (std::sin(d1) - std::sin(d0))) / area;
                    break;
                }
                case LampKind::disc:
                case LampKind::panel:  // rings by r^2, columns by x; the back's cells follow
                    expected[i] = (e.lamp.bothSides ? 0.5 : 1.0) / kCells;
                    expected[kCells + i] = e.lamp.bothSides ? 0.5 / kCells : 0.0;
                    break;
            }
        }
        for (double& x : expected) x *= kDraws;
        const auto cellOfShare = [](double share) {
            return static_cast<std::size_t>(std::clamp(share * kCells, 0.0, kCells - 1.0));
        };
        for (int i = 0; i < kDraws; ++i) {
            const glm::vec2 position = random.two();
            const EmittedRay ray = sampleEmission(e.lamp, position, random.two());
            const glm::dvec3 p(e.lamp.frame.toLocal(ray.origin_m - e.lamp.centre_m));
            const glm::dvec3 n(e.lamp.frame.toLocal(ray.normal));
            const double rho = std::hypot(p.x, p.y);
            std::size_t cell = 0;
            switch (e.lamp.kind) {
                case LampKind::sphere: cell = cellOfShare(0.5 * (p.z / a + 1.0)); break;
                case LampKind::tube:
                    if (std::abs(n.x) < 0.5) cell = cellOfShare(0.5 * (p.x / a + 1.0));
                    else cell = (n.x > 0.0 ? 1U : 2U) * kCells + cellOfShare((p.y * p.y + p.z * p.z) / (b * b));
                    break;
                case LampKind::ring: cell = cellOfShare(0.5 * (std::atan2(p.z, rho - a) / pi + 1.0)); break;
                case LampKind::disc: cell = (n.z > 0.0 ? 0U : kCells) + cellOfShare(rho * rho / (a * a)); break;
                case LampKind::panel: cell = (n.z > 0.0 ? 0U : kCells) + cellOfShare(0.5 * (p.x / a + 1.0)); break;
            }
            observed[cell] += 1.0;
        }
        const ChiSquare x = pearson(expected, observed);
        INFO(e.name << ": " << x.summary);
        CHECK(x.passes());
    }
}

TEST_CASE("emitted directions have the density of the lamp's intensity", "[lamp][emission][chi2]") {
    // I(d) = L * projected luminous area; the area by parallel rays that know nothing of emission.
    for (const Emitter& e : emitters()) {
        SphereGrid grid;
        grid.frame = e.lamp.frame;
        grid.rings = 8;
        grid.sectors = 12;
        grid.splits = 0;
        std::vector<double> expected(97, 0.0), observed(97, 0.0);
        constexpr int kDraws = 30000;
        int left = 0;
        Uniform random(41U);
        for (int i = 0; i < kDraws; ++i) {
            const glm::vec2 position = random.two();
            const EmittedRay ray = sampleEmission(e.lamp, position, random.two());
            if (!ray.leaves) continue;
            ++left;
            observed[static_cast<std::size_t>(grid.cell(ray.direction))] += 1.0;
        }
        for (int c = 0; c < 96; ++c) {
            for (int k = 0; k < 4; ++k) {
                const glm::vec3 d = grid.direction(c / 12, c % 12, k % 2 * 0.5 + 0.25, k / 2 * 0.5 + 0.25);
                expected[static_cast<std::size_t>(c)] +=
                    densityByParallelRays(e.lamp, d, 16, random) * grid.cell_sr() / 4.0 * left;
            }
        }
        const ChiSquare x = pearson(expected, observed);
        INFO(e.name << ": " << x.summary);
        CHECK(x.passes());
        // What leaves a ring, as its closed integral has it.
        const double share = leavingShare(e.lamp);
        INFO(left << " of " << kDraws << " left");
        CHECK(static_cast<double>(left) / kDraws ==
              Approx(share).margin(4.0 * std::sqrt(share * (1.0 - share) / kDraws) + 1e-12));
    }
}

}  // namespace keyfall::test
