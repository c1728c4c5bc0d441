// The spot meter's rays: an even cone, to the last digits of a float. Not here: what they meet.
#include <catch2/catch.hpp>

#include "../transport/set.h"
#include "renderer/meter/readings.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

Probe spotOf(double angle_rad) {
    Probe spot = Set().probe({0, 0, 2}, {0, 0, 1});
    spot.kind = ProbeKind::spot;
    spot.spotAngle_rad = angle_rad;
    return spot;
}

}  // namespace

TEST_CASE("a spot ray turns with the second number, exact to the float", "[meter]") {
    // Reference: the C library in long double. A float azimuth 2 pi u would be off by 2.4e-7 of the
    // radius; one rounding of each component is at most 6e-8, or 9e-8 for both together.
    const Probe spot = spotOf(0.01745);
    const Frame f = frameAround(glm::vec3(0, 0, 1));
    long double worst = 0.0L;
    for (int i = 0; i < 4096; ++i) {
        const float u = (static_cast<float>(i) + 0.37F) / 4096.0F;
        const glm::vec3 d = spotRay({0, 0, 0}, spot, {1.0F, u}).direction;
        const long double radius = std::sin(0.5L * 0.01745L);
        const long double phi = 2.0L * std::acos(-1.0L) * static_cast<long double>(u);
        const long double dx = static_cast<long double>(glm::dot(d, f.x)) - radius * std::cos(phi);
        const long double dy = static_cast<long double>(glm::dot(d, f.y)) - radius * std::sin(phi);
        worst = std::max(worst, std::hypot(dx, dy) / radius);
    }
    INFO("worst " << static_cast<double>(worst));
    CHECK(worst < 1.2e-7L);
}

TEST_CASE("the spot's cone is its full angle, evenly by solid angle", "[meter]") {
    // Solid angle up to height 1 - cos is 2 pi (1 - cos): u = 1/4 lies at half the edge's sine, for
    // a narrow cone (sin^2 = 2 rise - rise^2).
    for (const double angle_rad : {0.01745, 0.35}) {
        const Probe spot = spotOf(angle_rad);
        const auto rise = [&](float u) {
            return 1.0 - static_cast<double>(spotRay({0, 0, 0}, spot, {u, 0.3F}).direction.z);
        };
        const double edge = 1.0 - std::cos(0.5 * angle_rad);
        CHECK(rise(1.0F) == Approx(edge).margin(6e-8));
        CHECK(rise(0.25F) == Approx(0.25 * edge).margin(6e-8));
        CHECK(rise(0.0F) == 0.0);
    }
}
