// Illuminance from a lamp without anything between. Not here: the checks.
#include "tests/optics/lamp_light.h"

#include <algorithm>
#include <cmath>

#include "renderer/optics/sampler.h"
#include "tests/optics/chi_square.h"

namespace keyfall::test {

namespace {

constexpr double kPi = 3.14159265358979323846;

template <class Draw>
Estimate average(int draws, Draw&& draw) {
    double sum = 0.0;
    double squares = 0.0;
    for (int i = 0; i < draws; ++i) {
        const double x = draw();
        sum += x;
        squares += x * x;
    }
    const double mean = sum / draws;
    const double variance = squares / draws - mean * mean;
    return {mean, std::sqrt(variance / draws), mean > 0.0 ? variance / (mean * mean) : 0.0};
}

/// L cos/pdf with L = 1 cd/m^2.
double contribution(const LampView& view, glm::vec2 u) {
    const auto s = sampleLamp(view, u);
    if (!s) return 0.0;
    return std::max(0.0, static_cast<double>(glm::dot(view.normal, s->toLight))) /
           static_cast<double>(s->pdf_perSr);
}

}  // namespace

Estimate illuminance_lx(const LampShape& lamp, glm::vec3 point_m, glm::vec3 normal, int draws) {
    const LampView view = viewLamp(lamp, point_m, normal);
    Uniform random(5U);
    return average(draws, [&] { return contribution(view, random.two()); });
}

double illuminanceByNet_lx(const LampShape& lamp, glm::vec3 point_m, glm::vec3 normal,
                           int log2Draws) {
    const LampView view = viewLamp(lamp, point_m, normal);
    std::uint32_t i = 0;
    return average(1 << log2Draws, [&] {
               return contribution(view, PathSampler(1U, 2U, i++).next2D());
           }).mean;
}

Estimate illuminanceBlind_lx(const LampShape& lamp, glm::vec3 point_m, glm::vec3 normal, int draws) {
    const Frame frame = frameAround(normal);
    Uniform random(6U);
    return average(draws, [&] {
        // the closed form of a cosine-distributed direction; the project's warps are not used here
        const double radius = std::sqrt(static_cast<double>(random.one()));
        const double phi = 2.0 * kPi * static_cast<double>(random.one());
        const glm::vec3 d(glm::dvec3(radius * std::cos(phi), radius * std::sin(phi),
                                     std::sqrt(1.0 - radius * radius)));
        const auto hit = intersectLamp(lamp, point_m, glm::normalize(frame.toWorld(d)), 0.0F, 1e9F);
        return hit && hit->emits ? kPi : 0.0;
    });
}

}  // namespace keyfall::test
