// Light as it starts at a lamp: where, which way, and how bright that makes the lamp from afar.
// Not here: lamps as seen from a point (lamp_*_test.cpp).
#include "renderer/optics/lamp_emission.h"

#include <catch2/catch.hpp>

#include "renderer/optics/lamp.h"
#include "renderer/optics/warp_trig.h"  // kPi
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

/// Luminous area seen from far along `d`, by jittered parallel rays. Times the luminance per flux it is the
/// density of what leaves over directions.
double projectedAreaByParallelRays_m2(const LampShape& lamp, glm::vec3 d, int rays, Uniform& random) {
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
    return area;
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
            const glm::vec3 above = ray.origin_m + 1e-3F * ray.normal;
            const auto hit = intersectLamp(e.lamp, above, -ray.normal, 0.0F, 1.0F);
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

constexpr std::size_t kCells = 16;

/// Shares of the emitting area in cells that shapes make easy: closed forms beside each.
std::vector<double> areaShares(const LampShape& lamp) {
    const double a = 0.5 * static_cast<double>(lamp.a_m), b = 0.5 * static_cast<double>(lamp.b_m);
    const double area = emittingArea_m2(lamp);
    std::vector<double> share(3 * kCells, 0.0);
    for (std::size_t i = 0; i < kCells; ++i) {
        const double d0 = kPi * (2.0 * static_cast<double>(i) / kCells - 1.0), d1 = d0 + 2.0 * kPi / kCells;
        switch (lamp.kind) {
            case LampKind::sphere: share[i] = 1.0 / kCells; break;  // Archimedes: zones of equal height
            case LampKind::tube:                                    // the side by x, the ends by r^2
                share[i] = 2.0 * kPi * b * (2.0 * a / kCells) / area;
                share[kCells + i] = share[2 * kCells + i] = kPi * b * b / kCells / area;
                break;
            case LampKind::ring:  // by the angle d about the tube: b (a + b cos d) 2 pi dd
                share[i] = 2.0 * kPi * b * (a * (d1 - d0) + b * (std::sin(d1) - std::sin(d0))) / area;
                break;
            case LampKind::disc:  // rings of equal area, then those of the back
            case LampKind::panel:  // columns
                share[i] = (lamp.bothSides ? 0.5 : 1.0) / kCells;
                share[kCells + i] = lamp.bothSides ? 0.5 / kCells : 0.0;
                break;
        }
    }
    return share;
}

std::size_t cellOf(const LampShape& lamp, const EmittedRay& ray) {
    const double a = 0.5 * static_cast<double>(lamp.a_m), b = 0.5 * static_cast<double>(lamp.b_m);
    const glm::dvec3 p(lamp.frame.toLocal(ray.origin_m - lamp.centre_m));
    const glm::dvec3 n(lamp.frame.toLocal(ray.normal));
    const double rho = std::hypot(p.x, p.y);
    const auto part = [](double share) {
        return static_cast<std::size_t>(std::clamp(share * kCells, 0.0, kCells - 1.0));
    };
    const std::size_t back = n.z > 0.0 ? 0U : kCells;
    switch (lamp.kind) {
        case LampKind::sphere: return part(0.5 * (p.z / a + 1.0));
        case LampKind::tube:
            if (std::abs(n.x) < 0.5) return part(0.5 * (p.x / a + 1.0));
            return (n.x > 0.0 ? 1U : 2U) * kCells + part((p.y * p.y + p.z * p.z) / (b * b));
        case LampKind::ring: return part(0.5 * (std::atan2(p.z, rho - a) / kPi + 1.0));
        case LampKind::disc: return back + part(rho * rho / (a * a));
        case LampKind::panel: break;
    }
    return back + part(0.5 * (p.x / a + 1.0));
}

TEST_CASE("emission is even over the body: equal areas start equal light", "[lamp][emission][chi2]") {
    constexpr int kDraws = 40000;
    for (const Emitter& e : emitters()) {
        std::vector<double> expected = areaShares(e.lamp), observed(3 * kCells, 0.0);
        for (double& x : expected) x *= kDraws;
        Uniform random(29U);
        for (int i = 0; i < kDraws; ++i) {
            const glm::vec2 position = random.two();
            observed[cellOf(e.lamp, sampleEmission(e.lamp, position, random.two()))] += 1.0;
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
        const double perArea = luminancePerFlux_perSrM2(e.lamp) * grid.cell_sr() / 4.0 * left;
        for (int c = 0; c < 96; ++c) {
            for (int k = 0; k < 4; ++k) {
                const glm::vec3 d = grid.direction(c / 12, c % 12, k % 2 * 0.5 + 0.25, k / 2 * 0.5 + 0.25);
                expected[static_cast<std::size_t>(c)] +=
                    perArea * projectedAreaByParallelRays_m2(e.lamp, d, 16, random);
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
