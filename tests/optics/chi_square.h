// Pearson's chi-square: do the directions a sampler draws follow the density it states?
// For every sampler of directions (warps, lamps, lobes). Not here: the cases themselves.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <glm/glm.hpp>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "scene/frame.h"

namespace keyfall::test {

/// Independent uniform numbers in [0, 1), 24 bits. The standard fixes mt19937's output but not its
/// distributions', so the scaling is done here; the project's own samplers are not trusted yet.
class Uniform {
  public:
    explicit Uniform(std::uint32_t seed) : engine_(seed) {}
    float one() { return static_cast<float>(engine_() >> 8U) * 0x1p-24F; }
    glm::vec2 two() {
        const float x = one();  // a fixed order: arguments of one call have none
        return {x, one()};
    }

  private:
    std::mt19937 engine_;
};

/// The cells directions are counted in: rings of equal height in cos(angle to frame.z) from cosMin
/// to 1, each cut into equal sectors, so all cells have the same solid angle. Directions below
/// cosMin share one more cell, for which the density is taken to be 0: aim the frame at a small
/// lamp and keep cosMin outside its outline, and every cell means something.
struct SphereGrid {
    Frame frame;
    double cosMin = -1.0;
    int rings = 20;
    int sectors = 40;
    /// The density is integrated by jittered points, 12 x 12 in a cell; a cell in which they differ by
    /// more than 10 % is quartered, `splits` times at most: outlines and peaks need it. From 3 on, a
    /// cell that was drawn is quartered at least `splits` - 2 times, so that no sliver goes unseen.
    int splits = 3;

    double cell_sr() const { return 2.0 * 3.14159265358979323846 * (1.0 - cosMin) / (rings * sectors); }
    /// The direction at fraction (s, t) of the cell.
    glm::vec3 direction(int ring, int sector, double s, double t) const;
    /// Index of the cell a direction falls in; rings * sectors when it lies below cosMin.
    int cell(glm::vec3 direction) const;
};

struct ChiSquare {
    double statistic = 0.0;
    double degrees = 0.0;
    double pValue = 1.0;   ///< chance of a larger statistic when the density is right
    double mass = 0.0;     ///< integral of the density over the sphere; < 1 when draws can come up empty
    int strays = 0;        ///< draws where the density's integral is 0: any is an error
    std::string summary;

    /// alpha is 1e-6 over the whole suite; `cases` is how many tests share it (Sidak).
    bool passes(int cases = 1000) const { return strays == 0 && pValue > 1e-6 / cases; }
};

/// From a table of counted and expected draws: pools what is expected below 5, then compares.
ChiSquare pearson(const std::vector<double>& expected, const std::vector<double>& observed);

/// Integral of `pdf(direction) -> per steradian` over part of a cell: the square of side `size` whose
/// low corner is (s, t). Jittered, not on a grid: an outline that runs along a row of a grid is
/// counted all in or all out.
template <class Pdf>
double cellMass(const SphereGrid& grid, int ring, int sector, glm::dvec2 st, double size, int splits,
                int forced, Uniform& random, Pdf&& pdf) {
    constexpr int kSide = 12;
    double low = 1e300;
    double high = 0.0;
    double sum = 0.0;
    for (int i = 0; i < kSide * kSide; ++i) {
        const glm::dvec2 jitter(random.two());
        const glm::dvec2 at = st + size / kSide * (glm::dvec2(i % kSide, i / kSide) + jitter);
        const double p = static_cast<double>(pdf(grid.direction(ring, sector, at.x, at.y)));
        low = std::min(low, p);
        high = std::max(high, p);
        sum += p;
    }
    if (splits <= 0 || (forced <= 0 && high - low <= 0.1 * high)) {
        return sum / (kSide * kSide) * size * size * grid.cell_sr();
    }
    double mass = 0.0;
    for (int quarter = 0; quarter < 4; ++quarter) {
        const glm::dvec2 corner = st + 0.5 * size * glm::dvec2(quarter % 2, quarter / 2);
        mass += cellMass(grid, ring, sector, corner, 0.5 * size, splits - 1, forced - 1, random,
                         pdf);
    }
    return mass;
}

/// Draws `count` directions by `sample(Uniform&) -> std::optional<glm::vec3>` (empty: no direction)
/// and compares their cells with the integral of `pdf(direction) -> per steradian`.
/// Empty draws are a cell of their own, expected as often as the density's integral falls below 1.
template <class Sample, class Pdf>
ChiSquare chiSquare(const SphereGrid& grid, int count, std::uint32_t seed, Sample&& sample,
                    Pdf&& pdf) {
    const auto cells = static_cast<std::size_t>(grid.rings * grid.sectors);
    std::vector<double> expected(cells + 2, 0.0);  // + below cosMin, + empty
    std::vector<double> observed(cells + 2, 0.0);
    Uniform random(seed);
    for (int i = 0; i < count; ++i) {
        const std::optional<glm::vec3> drawn = sample(random);
        const std::size_t c = drawn ? static_cast<std::size_t>(grid.cell(*drawn)) : cells + 1;
        observed[c] += 1.0;
    }
    double mass = 0.0;
    Uniform jitter(seed + 1U);
    for (std::size_t c = 0; c < cells; ++c) {
        const int ring = static_cast<int>(c) / grid.sectors;
        const int sector = static_cast<int>(c) % grid.sectors;
        const int forced = observed[c] > 0.0 ? grid.splits - 2 : 0;
        const double m =
            cellMass(grid, ring, sector, {0.0, 0.0}, 1.0, grid.splits, forced, jitter, pdf);
        expected[c] = m * count;
        mass += m;
    }
    expected[cells + 1] = std::max(0.0, (1.0 - mass) * count);
    ChiSquare result = pearson(expected, observed);
    result.mass = mass;
    result.summary += ", integral of the density " + std::to_string(mass);
    return result;
}

}  // namespace keyfall::test
