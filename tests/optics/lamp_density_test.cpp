// The density of lamp draws: its reciprocal's mean is the solid angle, draw and pdf agree point by
// point, and no place near or inside a lamp breaks it. Not here: chi-square, photometry.
#include <catch2/catch.hpp>
#include <cmath>

#include "renderer/optics/lamp.h"
#include "tests/optics/chi_square.h"
#include "tests/optics/lamp_cases.h"

namespace keyfall::test {

namespace {

using Catch::WithinRel;
constexpr double kPi = 3.14159265358979323846;

/// Mean of 1/pdf over draws, empty ones as 0, with its standard error.
struct Mean {
    double value;
    double standardError;
};
Mean meanReciprocal_sr(const LampShape& lamp, glm::vec3 point_m, glm::vec3 normal, int draws) {
    const LampView view = viewLamp(lamp, point_m, normal);
    Uniform random(21U);
    double sum = 0.0;
    double squares = 0.0;
    for (int i = 0; i < draws; ++i) {
        const auto s = sampleLamp(view, random.two());
        const double x = s ? 1.0 / static_cast<double>(s->pdf_perSr) : 0.0;
        sum += x;
        squares += x * x;
    }
    const double mean = sum / draws;
    return {mean, std::sqrt(std::max(0.0, squares / draws - mean * mean) / draws)};
}

void checkSolidAngle(const LampShape& lamp, glm::vec3 local_m, double exact_sr) {
    const glm::vec3 tilted = glm::normalize(-lamp.frame.z + 0.7F * lamp.frame.x);
    const Mean m = meanReciprocal_sr(lamp, besideLamp(lamp, local_m), tilted, 100000);
    INFO("mean of 1/pdf " << m.value << " +- " << m.standardError << ", exact " << exact_sr);
    CHECK(std::abs(m.value - exact_sr) < 4.0 * m.standardError + 2e-6 * exact_sr);
}

}  // namespace

TEST_CASE("panel: the mean of 1/pdf is the solid angle of a rectangle under its corner",
          "[lamp][density]") {
    // atan(a b / (c sqrt(a^2 + b^2 + c^2))), Mathar, "Solid Angle of a Rectangular Plate" (2015); the
    // printed 4 pi x 0.08360 for 1 x 2 at 0.5.
    const auto exact = [](double a, double b, double c) {
        return std::atan(a * b / (c * std::sqrt(a * a + b * b + c * c)));
    };
    CHECK_THAT(exact(1, 2, 0.5) / (4 * kPi), WithinRel(0.08360, 1e-4));
    struct { float a, b, c; } const rows[] = {{1, 2, 0.5F}, {0.6F, 0.4F, 0.02F}, {0.3F, 0.2F, 2.0F},
                                              {2.0F, 0.05F, 0.1F}};
    for (const auto& r : rows) {
        const LampShape panel = tiltedLamp(LampKind::panel, r.a, r.b);
        const double sr = exact(static_cast<double>(r.a), static_cast<double>(r.b),
                                static_cast<double>(r.c));
        checkSolidAngle(panel, {0.5F * r.a, -0.5F * r.b, r.c}, sr);
        const LampView v = viewLamp(panel, besideLamp(panel, {0.5F * r.a, -0.5F * r.b, r.c}), {});
        CHECK_THAT(v.solidAngle_sr, WithinRel(sr, 1e-4));  // a point in float is not quite the corner
    }
}

TEST_CASE("sphere: the mean of 1/pdf is the solid angle of the cone", "[lamp][density]") {
    for (const double d : {0.101, 0.2, 30.0}) {  // radius 0.1
        const LampShape bulb = tiltedLamp(LampKind::sphere, 0.2F, 0);
        const double c = std::sqrt(1.0 - 0.01 / (d * d));
        const double sr = 2 * kPi * (0.01 / (d * d)) / (1.0 + c);
        checkSolidAngle(bulb, {0, 0, static_cast<float>(d)}, sr);
    }
}

TEST_CASE("disc: the mean of 1/pdf is the solid angle of a cone, on its axis", "[lamp][density]") {
    const double sr = 2 * kPi * (1.0 - 0.2 / std::sqrt(0.2 * 0.2 + 0.15 * 0.15));
    checkSolidAngle(tiltedLamp(LampKind::disc, 0.3F, 0), {0, 0, 0.2F}, sr);
}

TEST_CASE("every view: the mean of 1/pdf is the share of the sphere whose rays meet the lamp",
          "[lamp][density]") {
    for (const LampCase& c : lampCases()) {
        Uniform random(8U);
        constexpr int kRays = 60000;
        // directions within the cone of the lamp's bounding sphere, so that small lamps count too
        const double reach = c.lamp.kind == LampKind::ring || c.lamp.kind == LampKind::tube
                                 ? static_cast<double>(c.lamp.a_m + c.lamp.b_m)
                                 : std::hypot(static_cast<double>(c.lamp.a_m), static_cast<double>(c.lamp.b_m));
        const double distance = static_cast<double>(glm::distance(c.lamp.centre_m, c.point_m));
        const double sine = 0.51 * reach / distance;
        const double lowest = sine < 1.0 ? std::sqrt(1.0 - sine * sine) : -1.0;
        const Frame frame = frameAround(glm::normalize(c.lamp.centre_m - c.point_m));
        int met = 0;
        for (int i = 0; i < kRays; ++i) {
            const double z = lowest + (1.0 - lowest) * static_cast<double>(random.one());
            const double phi = 2 * kPi * static_cast<double>(random.one());
            const double s = std::sqrt(std::max(0.0, 1.0 - z * z));
            const glm::vec3 d = frame.toWorld(glm::vec3(glm::dvec3(s * std::cos(phi), s * std::sin(phi), z)));
            const auto hit = intersectLamp(c.lamp, c.point_m, glm::normalize(d), 0.0F, 1e9F);
            met += hit && hit->emits;
        }
        const double share = static_cast<double>(met) / kRays;
        const double cone_sr = 2 * kPi * (1.0 - lowest);
        const double sigma = cone_sr * std::sqrt(share * (1.0 - share) / kRays);
        const Mean m = meanReciprocal_sr(c.lamp, c.point_m, c.normal, 60000);
        INFO(c.name << ": mean of 1/pdf " << m.value << " +- " << m.standardError << ", rays "
                    << share * cone_sr << " +- " << sigma);
        CHECK(std::abs(m.value - share * cone_sr) < 4.5 * std::hypot(m.standardError, sigma));
    }
}

TEST_CASE("every view: pdf of a drawn direction is the density it was drawn with", "[lamp][density]") {
    for (const LampCase& c : lampCases()) {
        const LampView view = viewLamp(c.lamp, c.point_m, c.normal);
        Uniform random(13U);
        int drawn = 0;
        int off = 0;
        for (int i = 0; i < 4000; ++i) {
            const auto s = sampleLamp(view, random.two());
            if (!s) continue;
            ++drawn;
            const auto hit = intersectLamp(c.lamp, c.point_m, s->toLight, 0.0F, 1e9F);
            // Within 2 degrees of grazing a float direction does not say what was met.
            if (c.lamp.kind == LampKind::ring && hit && glm::dot(hit->normal, s->toLight) > -0.035F)
                continue;
            const bool same = hit && hit->emits &&
                              std::abs(hit->distance_m / s->distance_m - 1.0F) < 1e-4F &&
                              std::abs(pdfLamp_perSr(view, s->toLight, *hit) / s->pdf_perSr - 1.0F) < 1e-4F;
            off += !same;
        }
        INFO(c.name << ": " << off << " of " << drawn);
        CHECK(drawn > 1000);
        CHECK(off == 0);
    }
}

TEST_CASE("points on, in and a hair off a lamp give finite draws or none", "[lamp][density]") {
    for (const LampKind kind : {LampKind::sphere, LampKind::tube, LampKind::ring, LampKind::disc,
                                LampKind::panel}) {
        const LampShape lamp = tiltedLamp(kind, 0.2F, 0.06F, true);
        Uniform random(31U);
        for (int i = 0; i < 3000; ++i) {
            // places of the surface and its planes of symmetry, moved by 0, 1e-7, 1e-5 or 1e-3 m
            const glm::vec3 spots[] = {{0, 0, 0}, {0.1F, 0, 0}, {0.1F, 0.03F, 0}, {0, 0.03F, 0},
                                       {0.1F, 0.0F, 0.03F}, {0.13F, 0, 0}, {0.07F, 0, 0}, {0, 0, 0.1F}};
            const float move = i % 4 == 0 ? 0.0F : std::pow(10.0F, -9.0F + 2.0F * static_cast<float>(i % 4));
            const glm::vec3 dir{random.one() - 0.5F, random.one() - 0.5F, random.one() - 0.5F};
            const glm::vec3 p = besideLamp(lamp, spots[i % 8] + move * dir);
            const LampView view = viewLamp(lamp, p, lamp.frame.z);
            REQUIRE(std::isfinite(view.solidAngle_sr));
            const auto s = sampleLamp(view, random.two());
            if (!s) continue;
            REQUIRE(std::isfinite(s->pdf_perSr));
            REQUIRE(s->pdf_perSr > 0.0F);
            REQUIRE_THAT(glm::length(s->toLight), WithinRel(1.0, 1e-5));
            const auto hit = intersectLamp(lamp, p, s->toLight, 0.0F, 1e9F);
            if (hit) REQUIRE(std::isfinite(pdfLamp_perSr(view, s->toLight, *hit)));
        }
    }
}

TEST_CASE("closed lamps show no far wall to a ray that starts outside", "[lamp][density]") {
    // near_m inside the body: the entry lies before it, the exit must not be reported.
    for (const LampKind kind : {LampKind::sphere, LampKind::tube, LampKind::ring}) {
        const LampShape lamp = tiltedLamp(kind, 0.2F, 0.06F);
        const glm::vec3 out = kind == LampKind::sphere ? lamp.frame.x : lamp.frame.z;
        const glm::vec3 middle = kind == LampKind::ring ? glm::vec3(0.1F, 0, 0) : glm::vec3(0.0F);
        const float radius = kind == LampKind::sphere ? 0.1F : 0.03F;
        const glm::vec3 origin = besideLamp(lamp, middle) + 0.5F * out;
        CHECK(intersectLamp(lamp, origin, -out, 0.0F, 1.0F));
        CHECK_FALSE(intersectLamp(lamp, origin, -out, 0.5F, 1.0F));
        const auto inside = intersectLamp(lamp, besideLamp(lamp, middle), -out, 0.0F, 1.0F);
        REQUIRE(inside);
        CHECK_THAT(inside->distance_m, WithinRel(static_cast<double>(radius), 1e-4));
        CHECK_FALSE(inside->emits);
    }
}

}  // namespace keyfall::test
