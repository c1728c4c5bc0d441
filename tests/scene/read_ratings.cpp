// The flux that follows from what a maker or a meter says of a bare lamp, against closed forms and
// against sums that do not use them. Not here: rendering a lamp and metering it (laws).
#include <cmath>
#include <numbers>
#include <random>

#include "scene/lamp_shape.h"
#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

double fluxOf(const std::string& lamp, const std::string& figure) {
    return sceneOf("[lamp.mine]\n" + lamp + "\n[[light]]\nname = \"key\"\nlamp = \"mine\"\n" +
                   figure + "\nrated_with = \"none\"\nat = [0, 50, 0]\naim = [0, 0, 0]\n")
        .lights[0]
        .fullFlux;
}

LampShape shape(LampKind kind, double a, double b) {
    LampShape lamp;
    lamp.kind = kind;
    lamp.a_m = static_cast<float>(a);
    lamp.b_m = static_cast<float>(b);
    return lamp;
}

/// E/L on the axis of a rectangle by summing cos^2/r^2 dA over small pieces.
double summedPanel(double w, double h, double d) {
    constexpr int n = 1500;
    double sum = 0.0;
    for (int i = 0; i < n; ++i)
        for (int j = 0; j < n; ++j) {
            const double x = ((i + 0.5) / n - 0.5) * w, y = ((j + 0.5) / n - 0.5) * h;
            const double r2 = x * x + y * y + d * d;
            sum += d * d / (r2 * r2);
        }
    return sum * w * h / (n * n);
}

/// E/L in front of a body by the share of directions whose ray meets it: the integral of cos over
/// the hemisphere. `meets` takes a unit direction away from the receptor, z toward the lamp.
template <class Meets>
double summedDirections(Meets meets) {
    constexpr int n = 1500;
    double sum = 0.0;
    for (int i = 0; i < n; ++i)
        for (int j = 0; j < n; ++j) {
            // Nusselt: equal areas of the unit disc are equal shares of the cosine-weighted sky.
            const double r = std::sqrt((i + 0.5) / n), phi = 2 * std::numbers::pi * (j + 0.5) / n;
            const glm::dvec3 w(r * std::cos(phi), r * std::sin(phi), std::sqrt(1 - r * r));
            sum += meets(w) ? std::numbers::pi / (n * n) : 0.0;
        }
    return sum;
}

/// Whether a torus around z (centre line R, tube r, centre at distance d) is met: marched by its
/// distance function, sqrt((sqrt(x^2+y^2) - R)^2 + z^2) - r.
bool rayMeetsTorus(glm::dvec3 origin, glm::dvec3 w, double R, double r, double start) {
    double t = start;
    while (t < 10.0) {
        const glm::dvec3 p = origin + t * w;
        const double away = std::hypot(std::hypot(p.x, p.y) - R, p.z) - r;
        if (away < 1e-7) return true;
        t += std::max(away, 1e-6);
        if (p.z > r && w.z > 0) return false;
    }
    return false;
}

}  // namespace

TEST_CASE("guide number 58 of a small ball: Q = 2.5 GN^2 in all directions", "[read][rating]") {
    // Guide number: H at 1 m = C GN^2 / S = 2.5 GN^2 lx*s (ISO 2720:1974 with C = 250). A
    // Lambertian sphere is equally bright from all sides: Phi = 4 pi I.
    const double flux = fluxOf("shape = \"sphere\"\nsize = [3]", "guide_number = 58");
    CHECK(flux == Approx(4 * std::numbers::pi * 2.5 * 58 * 58).epsilon(1e-6));
}

TEST_CASE("lux at 1 m of a ball: Phi = 4 pi E, whatever its size", "[read][rating]") {
    const double flux = fluxOf("shape = \"sphere\"\nsize = [40]", "lux_at_1m = 9000");
    CHECK(flux == Approx(4 * std::numbers::pi * 9000).epsilon(1e-6));
}

TEST_CASE("lux at 1 m of a disc: E = L pi R^2/(R^2+d^2), Phi = pi L A", "[read][rating]") {
    // Disc formula: technique and handbooks of illuminating engineering; R = 0.3 m, d = 1 m.
    const double flux = fluxOf("shape = \"disc\"\nsize = [60]", "lux_at_1m = 1000");
    CHECK(flux == Approx(1000 * std::numbers::pi * (0.09 + 1.0)).epsilon(1e-6));
}

TEST_CASE("a panel that shines from both sides has twice the flux for the same reading",
          "[read][rating]") {
    const std::string panel = "shape = \"panel\"\nsize = [60, 40]\n";
    CHECK(fluxOf(panel + "both_sides = true", "lux_at_1m = 1000") ==
          Approx(2 * fluxOf(panel, "lux_at_1m = 1000")));
}

TEST_CASE("a flat meter reads f/16 3/10 at 1 m: H = 2.5 N^2", "[read][rating]") {
    // N = 2^4 * 2^(0.3/2); N^2 = 256 * 2^0.3; H = 250 N^2 / 100 lx*s; ball: Phi = 4 pi H d^2.
    const std::string ball = "shape = \"sphere\"\nsize = [3]";
    const double n2 = 256 * std::exp2(0.3);
    CHECK(fluxOf(ball, "reads = { aperture = \"f/16 3/10\", iso = 100, distance = 100 }") ==
          Approx(4 * std::numbers::pi * 2.5 * n2).epsilon(1e-6));
    CHECK(fluxOf(ball, "reads = { aperture = \"f/16 3/10\", iso = 200, distance = 50 }") ==
          Approx(4 * std::numbers::pi * 2.5 * n2 / 2 / 4).epsilon(1e-6));
}

TEST_CASE("a reading of continuous light is divided by its shutter time", "[read][rating]") {
    const double flux = fluxOf("shape = \"sphere\"\nsize = [3]",
                               "kind = \"continuous\"\n"
                               "reads = { aperture = 4, distance = 100, shutter = \"1/60\" }");
    CHECK(flux == Approx(4 * std::numbers::pi * 2.5 * 16 * 64).epsilon(1e-6));  // 1/60 is 1/64 s
}

TEST_CASE("a figure measured at 1/4 stands for four times the full flux", "[read][rating]") {
    const std::string ball = "shape = \"sphere\"\nsize = [3]";
    CHECK(fluxOf(ball, "guide_number = 10\nrated_power = \"1/4\"") ==
          Approx(4 * fluxOf(ball, "guide_number = 10")));
}

TEST_CASE("on the axis of a panel: the corner formula against a sum of small pieces",
          "[read][rating]") {
    const auto panel = shape(LampKind::panel, 0.6, 0.4);
    for (const double d : {0.3, 1.0})
        CHECK(axisProjectedSolidAngle_sr(panel, d) ==
              Approx(summedPanel(0.6, 0.4, d)).epsilon(1e-5));
}

TEST_CASE("in front of a tube: quadrature against rays that meet it", "[read][rating]") {
    // Ray (0,0,0) + t w against the cylinder about x at z = d: smallest distance of the ray to the
    // axis in the y-z plane under r, at an x inside the length. Middle plane: caps never show.
    constexpr double length = 0.5, r = 0.05, d = 0.3;
    const double summed = summedDirections([&](glm::dvec3 w) {
        const double a = w.y * w.y + w.z * w.z, b = w.z * d, c = d * d - r * r;
        const double disc = b * b - a * c;
        if (disc < 0) return false;
        return std::abs((b - std::sqrt(disc)) / a * w.x) < length / 2;
    });
    CHECK(axisProjectedSolidAngle_sr(shape(LampKind::tube, length, 2 * r), d) ==
          Approx(summed).epsilon(1e-3));
}

TEST_CASE("in front of a ring: closed form against rays that meet it", "[read][rating]") {
    constexpr double R = 0.1, r = 0.02, d = 0.25;
    constexpr int n = 20000;
    double summed = 0.0;  // round about the axis: one radius of Nusselt's disc is enough
    for (int i = 0; i < n; ++i) {
        const double sine = std::sqrt((i + 0.5) / n);
        const glm::dvec3 w(sine, 0, std::sqrt(1 - sine * sine));
        summed += rayMeetsTorus({0, 0, -d}, w, R, r, 0.0) ? std::numbers::pi / n : 0.0;
    }
    CHECK(axisProjectedSolidAngle_sr(shape(LampKind::ring, 2 * R, 2 * r), d) ==
          Approx(summed).epsilon(1e-3));
}

TEST_CASE("far away every lamp is its axis area over the distance squared", "[read][rating]") {
    for (const LampShape& lamp :
         {shape(LampKind::sphere, 0.03, 0), shape(LampKind::tube, 0.07, 0.012),
          shape(LampKind::ring, 0.075, 0.009), shape(LampKind::disc, 0.03, 0),
          shape(LampKind::panel, 0.03, 0.02)})
        CHECK(axisProjectedSolidAngle_sr(lamp, 50.0) * 2500.0 ==
              Approx(axisArea_m2(lamp)).epsilon(1e-3));
}

TEST_CASE("a convex lamp shades nothing of itself; a ring does, as emitted rays tell",
          "[read][rating]") {
    CHECK(emitterLeavingShare(shape(LampKind::tube, 0.07, 0.012)) == 1.0);
    constexpr int n = 20000;
    for (const double r : {0.1, 0.6}) {
        std::mt19937_64 engine(11);
        std::uniform_real_distribution<double> u;
        int gone = 0;
        for (int i = 0; i < n; ++i) {
            // A point uniform over the torus: its ring of latitude has a radius R + r cos(f).
            double f = 2 * std::numbers::pi * u(engine);
            while (u(engine) * (1 + r) > 1 + r * std::cos(f)) f = 2 * std::numbers::pi * u(engine);
            const glm::dvec3 normal(std::cos(f), 0, std::sin(f));
            const glm::dvec3 along(0, 1, 0), across = glm::cross(normal, along);
            const double s = std::sqrt(u(engine)), a = 2 * std::numbers::pi * u(engine);
            const glm::dvec3 w =
                std::sqrt(1 - s * s) * normal + s * (std::cos(a) * along + std::sin(a) * across);
            const glm::dvec3 start = glm::dvec3(1, 0, 0) + (r + 1e-5) * normal;
            gone += rayMeetsTorus(start, w, 1, r, 0.0) ? 0 : 1;
        }
        const double share = emitterLeavingShare(shape(LampKind::ring, 2, 2 * r));
        const double sigma = std::sqrt(share * (1 - share) / n);
        INFO("share " << share << ", rays " << gone / double(n) << " +- " << sigma);
        CHECK(std::abs(share - gone / double(n)) < 4 * sigma);
    }
}
