// One row of the albedo tables: E over the angle for one width, and its cosine mean.
// Not here: which rows there are (energy_table*.cpp).
#pragma once

#include "renderer/optics/energy_axis.h"
#include "renderer/optics/energy_quadrature.h"

namespace keyfall {

/// Straight lines between N nodes of the angle axis.
template <int N>
struct AngleCurve {
    float value[N];

    float at(Place m) const { return between(value[m.cell], value[m.cell + 1], m.fraction); }

    /// 2 int E(mu) factor(mu) mu dmu, three-point Gauss on each cell.
    template <class Factor>
    float mean(float alpha, Factor&& factor) const {
        const GaussLegendre<3> gauss;
        float sum = 0.0F;
        for (int m = 0; m + 1 < N; ++m) {
            for (std::size_t k = 0; k < 3; ++k) {
                const float t = (static_cast<float>(m) + gauss.x[k]) / (N - 1);
                const float mu = muOfAngleAxis(t, alpha);
                sum += gauss.w[k] * at({m, gauss.x[k]}) * factor(mu) * 2.0F *
                       muPerAngleAxis(mu, alpha);
            }
        }
        return sum / (N - 1);
    }
};

}  // namespace keyfall
