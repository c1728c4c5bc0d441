#include "place_model.h"

#include <algorithm>
#include <nlopt.hpp>

namespace keyfall {
namespace {

constexpr std::size_t kPointsPerKey = 3;
using Vector = std::vector<double>;

struct Near {
    double distance2 = 0.0;
    const Trial* trial = nullptr;
};

/// The nearest trials that say how the targets change.
std::vector<Near> nearest(const std::vector<Trial>& trials, const Trial& from) {
    std::vector<Near> near;
    for (const Trial& t : trials) {
        double distance2 = 0.0;
        for (std::size_t k = 0; k < from.at.size(); ++k)
            distance2 += (t.at[k] - from.at[k]) * (t.at[k] - from.at[k]);
        if (t.possible() && distance2 > 1e-12) near.push_back({distance2, &t});
    }
    std::stable_sort(near.begin(), near.end(),
                     [](const Near& a, const Near& b) { return a.distance2 < b.distance2; });
    near.resize(std::min(near.size(), kPointsPerKey * from.at.size()));
    return near;
}

/// Gauss-Jordan: a handful of keys. `a` is square with the right side as its last column.
Vector solved(std::vector<Vector> a) {
    const std::size_t n = a.size();
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t row = 0; row < n; ++row) {
            if (row == i) continue;
            const double f = a[row][i] / a[i][i];
            for (std::size_t c = i; c <= n; ++c) a[row][c] -= f * a[i][c];
        }
    Vector x(n);
    for (std::size_t i = 0; i < n; ++i) x[i] = a[i][n] / a[i][i];
    return x;
}

/// Least squares, weight 1/d^4: nearly the slopes that the nearest points alone tell. The trace of
/// ridge keeps points on one line from telling of what is across it.
Vector slopesOf(const std::vector<Near>& near, const Trial& from, std::size_t target) {
    const std::size_t n = from.at.size();
    std::vector<Vector> a(n, Vector(n + 1, 0.0));
    for (const Near& p : near)
        for (std::size_t i = 0; i < n; ++i) {
            const double w = (p.trial->at[i] - from.at[i]) / (p.distance2 * p.distance2);
            for (std::size_t j = 0; j < n; ++j) a[i][j] += w * (p.trial->at[j] - from.at[j]);
            a[i][n] += w * (p.trial->off[target] - from.off[target]);
        }
    double trace = 0.0;
    for (std::size_t i = 0; i < n; ++i) trace += a[i][i];
    for (std::size_t i = 0; i < n; ++i) a[i][i] += 1e-9 * trace + 1e-300;
    return solved(std::move(a));
}

struct Model {
    const SearchTask& task;
    const Trial& from;
    std::vector<Vector> slopes;  ///< [target][key]

    double operator()(const Vector& x, Vector& gradient) const {
        double sum = 0.0;
        gradient.assign(x.size(), 0.0);
        for (std::size_t i = 0; i < slopes.size(); ++i) {
            double off = from.off[i] - task.sides[i];
            for (std::size_t k = 0; k < x.size(); ++k) off += slopes[i][k] * (x[k] - from.at[k]);
            const double miss = missOfSide(task.sides[i], off);
            sum += miss * miss;
            for (std::size_t k = 0; k < x.size(); ++k) gradient[k] += 2.0 * miss * slopes[i][k];
        }
        // Of all places that do, the nearest: where there are more keys than targets.
        for (std::size_t k = 0; k < x.size(); ++k) {
            sum += 1e-3 * (x[k] - from.at[k]) * (x[k] - from.at[k]);
            gradient[k] += 2e-3 * (x[k] - from.at[k]);
        }
        return sum;
    }

    static double call(const Vector& x, Vector& gradient, void* self) {
        Vector all;
        const double sum = (*static_cast<const Model*>(self))(x, all);
        if (!gradient.empty()) gradient = all;
        return sum;
    }
};

}  // namespace

std::vector<double> modelMinimum(const SearchTask& task, const std::vector<Trial>& trials,
                                 const Trial& from, double radius) {
    Model model{task, from, {}};
    const auto near = nearest(trials, from);
    for (std::size_t target = 0; target < task.sides.size(); ++target)
        model.slopes.push_back(slopesOf(near, from, target));
    Vector low, high;
    for (const double x : from.at) {
        low.push_back(std::max(0.0, x - radius));
        high.push_back(std::min(1.0, x + radius));
    }
    nlopt::opt optimiser(nlopt::LD_SLSQP, static_cast<unsigned>(task.keys));
    optimiser.set_lower_bounds(low);
    optimiser.set_upper_bounds(high);
    optimiser.set_xtol_abs(1e-6);
    optimiser.set_maxeval(500);
    optimiser.set_min_objective(&Model::call, &model);
    Vector x = from.at;
    double value = 0.0;
    try {
        optimiser.optimize(x, value);
    } catch (const nlopt::roundoff_limited&) {  // as near as numbers go
    }
    for (std::size_t k = 0; k < x.size(); ++k) x[k] = std::clamp(x[k], low[k], high[k]);
    return x;
}

}  // namespace keyfall
