// The fit over directions. Not here: when it is made (bake.cpp).
#include "renderer/transport/bake_smooth.h"

#include <algorithm>
#include <cstdlib>

namespace keyfall {
namespace {

constexpr int kFewest = 24;
/// Pure noise comes to a little under 1. An edge that the fit blurs by a few times the noise of a cell is
/// the lesser evil: light lands beside its cell and none is lost, and a receiver looks at many cells.
constexpr double kExplained = 5.0;

/// Directions of one position cell, mirrored where the lower half stands for the upper.
class Directions {
  public:
    Directions(const TableFace& face, std::size_t position, int reach)
        : n_(face.directions), reach_(reach),
          halved_(face.folded && face.exit.shape.kind == LampKind::disc && face.across == 1),
          first_(position * static_cast<std::size_t>(n_ * n_)) {}

    std::size_t cell(int u, int v) const {
        if (halved_ && 2 * v + 1 < n_) v = n_ - 1 - v;
        return first_ + static_cast<std::size_t>(u * n_ + v);
    }
    /// The square of the cells around (u, v) lies above the horizon.
    bool isWhole(int u, int v) const {
        const int x = std::abs(2 * u + 1 - n_) + 2 * reach_ + 1;
        const int y = std::abs(2 * v + 1 - n_) + 2 * reach_ + 1;
        return x * x + y * y <= n_ * n_;
    }
    bool stands(int v) const { return !halved_ || 2 * v + 1 >= n_; }

    int reach() const { return reach_; }

  private:
    int n_;
    int reach_;
    bool halved_;
    std::size_t first_;
};

/// `use(cell, i, j)` for each of the square around (u, v).
template <class Use>
void forSquare(const Directions& at, int u, int v, const Use& use) {
    for (int i = -at.reach(); i <= at.reach(); ++i)
        for (int j = -at.reach(); j <= at.reach(); ++j) use(at.cell(u + i, v + j), i, j);
}

/// What each cell of the square counts for the fit in its middle. With m the mean of i^2, the functions
/// 1, i^2 - m and j^2 - m are orthogonal over the square, and those odd in i or j are 0 in its middle:
///     1/n^2 - m (i^2 - m + j^2 - m) / (n sum over i of (i^2 - m)^2),  n = 2 reach + 1.
class Weights {
  public:
    explicit Weights(int reach) : mean_(static_cast<float>(reach * (reach + 1)) / 3.0F) {
        const auto n = static_cast<float>(2 * reach + 1);
        float squares = 0.0F;
        for (int i = -reach; i <= reach; ++i) squares += off(i) * off(i);
        level_ = 1.0F / (n * n);
        bend_ = mean_ / (n * squares);
    }
    float operator()(int i, int j) const { return level_ - bend_ * (off(i) + off(j)); }

  private:
    float off(int i) const { return static_cast<float>(i * i) - mean_; }

    float mean_;
    float level_ = 0.0F;
    float bend_ = 0.0F;
};

Bands fitted(const std::vector<float>& luminance, const Directions& at, int u, int v) {
    const Weights weights(at.reach());
    Bands sum;
    forSquare(at, u, v, [&](std::size_t cell, int i, int j) {
        const float weight = weights(i, j);
        const float* from = luminance.data() + cell * kBands;
        for (int b = 0; b < kBands; ++b) sum[b] += weight * from[b];
    });
    return sum;
}

double meanOf(const float* bands) {
    double sum = 0.0;
    for (int b = 0; b < kBands; ++b) sum += static_cast<double>(bands[b]);
    return sum / kBands;
}

/// Fits of every cell that can have one, and how far each is from its own luminance, squared.
struct Fits {
    std::vector<Bands> value;
    std::vector<double> residue;  ///< < 0: no fit
};

Fits fitsOf(const TableFace& face, const Directions& at, std::size_t position) {
    const int n = face.directions;
    const auto count = static_cast<std::size_t>(n * n);
    Fits fits{std::vector<Bands>(count), std::vector<double>(count, -1.0)};
    for (int u = 0; u < n; ++u)
        for (int v = 0; v < n; ++v) {
            if (!at.stands(v) || !at.isWhole(u, v)) continue;
            const std::size_t cell = at.cell(u, v), own = cell - position * count;
            fits.value[own] = fitted(face.luminance, at, u, v);
            const double off = meanOf(fits.value[own].v) - meanOf(face.luminance.data() + cell * kBands);
            fits.residue[own] = off * off;
        }
    return fits;
}

bool isPositive(const Bands& x) {
    for (const float v : x.v)
        if (v < 0.0F) return false;
    return true;
}

void keepFlux(TableFace& face, const Bands& flux) {
    const Bands now = fluxOf(face);
    for (std::size_t i = 0; i < face.luminance.size(); ++i) {
        const int band = static_cast<int>(i % kBands);
        if (now[band] > 0.0F) face.luminance[i] *= flux[band] / now[band];
    }
}

}  // namespace

void smoothDirections(TableFace& face, const std::vector<double>& variance, int reach) {
    const int n = face.directions;
    if (n < kFewestToSmooth) return;
    const auto count = static_cast<std::size_t>(n * n);
    const Bands before = fluxOf(face);
    for (std::size_t p = 0; p < face.cellCount() / count; ++p) {
        const Directions at(face, p, reach);
        const Fits fits = fitsOf(face, at, p);
        for (int u = 0; u < n; ++u)
            for (int v = 0; v < n; ++v) {
                const std::size_t cell = at.cell(u, v);
                if (!at.stands(v) || fits.residue[cell - p * count] < 0.0) continue;
                double found = 0.0, noise = 0.0;
                forSquare(at, u, v, [&](std::size_t other, int, int) {
                    if (fits.residue[other - p * count] < 0.0) return;
                    found += fits.residue[other - p * count];
                    noise += variance[other];
                });
                const Bands& value = fits.value[cell - p * count];
                if (found <= kExplained * noise && isPositive(value))
                    std::copy_n(value.v, kBands, face.luminance.data() + cell * kBands);
            }
    }
    keepFlux(face, before);
}

}  // namespace keyfall
