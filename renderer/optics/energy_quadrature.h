// One-bounce albedos by quadrature over visible normals. Not here: tables of them (energy_table.h).
//
// With facets h drawn by visible normals, u = 1 - v^2 stretches the far tail of GGX. At normal
// incidence a facet's slope is  tan = alpha sqrt(1 - v^2) / v;  the integrand has a kink where
// mirrored light meets the horizon, tan = 1, and from the dense side of glass another where total
// reflection sets in, tan = eta / sqrt(1 - eta^2) (left inside a panel it cost .013 in E).
// Gauss-Legendre in v between them, equal steps in azimuth:
//   E = int 2v dv int dphi/2pi  w(h),   w = F G2/G1(o) for reflection, (1 - F) G1(i) for refraction
#pragma once

#include <array>
#include <cmath>
#include <numbers>

#include "renderer/optics/microfacet.h"

namespace keyfall {

/// Abscissae and weights on [0, 1]. Source: Newton's method on P_n, Abramowitz & Stegun 25.4.30.
template <int N>
struct GaussLegendre {
    std::array<float, N> x;
    std::array<float, N> w;

    GaussLegendre() {
        for (int i = 0; i < N; ++i) {
            double z = std::cos(std::numbers::pi * (i + 0.75) / (N + 0.5));
            double slope = 1.0;
            for (int step = 0; step < 20; ++step) {
                double p0 = 1.0, p1 = z;
                for (int k = 2; k <= N; ++k) {
                    const double p2 = ((2.0 * k - 1.0) * z * p1 - (k - 1.0) * p0) / k;
                    p0 = p1;
                    p1 = p2;
                }
                slope = N * (z * p1 - p0) / (z * z - 1.0);
                z -= p1 / slope;
            }
            x[static_cast<std::size_t>(i)] = static_cast<float>(0.5 * (1.0 - z));
            w[static_cast<std::size_t>(i)] =
                static_cast<float>(1.0 / ((1.0 - z * z) * slope * slope));
        }
    }
};

/// One ring of facets, in arrays so that the loops below fill whole vector registers.
template <int Phi>
struct FacetRing {
    float x[Phi], y[Phi], z[Phi], cosO[Phi];
};

/// Facets seen from `wo`. `turn` is the azimuth range: pi suffices when wo.y = 0.
template <int Phi, int Rings>
class VisibleFacets {
  public:
    VisibleFacets(float turn_rad) {
        for (int i = 0; i < Phi; ++i) {
            const float phi = turn_rad * (static_cast<float>(i) + 0.5F) / static_cast<float>(Phi);
            cos_[i] = std::cos(phi);
            sin_[i] = std::sin(phi);
        }
    }

    /// Calls perRing(ring, weight); the weights of a ring's facets together are `weight`.
    /// `eta` < 1 places a panel's end at total reflection.
    template <class F>
    void visit(const Ggx& g, glm::vec3 wo, float eta, F&& perRing) const {
        const glm::vec3 up = glm::normalize(glm::vec3(g.ax * wo.x, g.ay * wo.y, wo.z));
        const auto ends = panelEnds(g, eta);
        FacetRing<Phi> ring;
        for (std::size_t k = 0; k < kPanels * kNodes; ++k) {
            const std::size_t panel = k / kNodes, n = k % kNodes;
            const float width = ends[panel + 1] - ends[panel];
            const float v = ends[panel] + width * nodes_.x[n];
            const float z = v * v * (1.0F + up.z) - up.z;
            const float r = std::sqrt(std::max(1.0F - z * z, 0.0F));
            for (int i = 0; i < Phi; ++i) {
                const float x = g.ax * (r * cos_[i] + up.x);
                const float y = g.ay * (r * sin_[i] + up.y);
                const float up2 = std::max(z + up.z, 1e-7F);
                const float scale = 1.0F / std::sqrt(x * x + y * y + up2 * up2);
                ring.x[i] = x * scale;
                ring.y[i] = y * scale;
                ring.z[i] = up2 * scale;
                ring.cosO[i] =
                    std::max(wo.x * ring.x[i] + wo.y * ring.y[i] + wo.z * ring.z[i], 0.0F);
            }
            perRing(ring, 2.0F * v * width * nodes_.w[n]);
        }
    }

  private:
    static constexpr std::size_t kPanels = 3;
    static constexpr std::size_t kNodes = Rings / kPanels;

    static std::array<float, kPanels + 1> panelEnds(const Ggx& g, float eta) {
        const float alpha2 = 0.5F * (g.ax * g.ax + g.ay * g.ay);
        const float horizon = std::sqrt(alpha2 / (1.0F + alpha2));
        if (eta >= 1.0F) return {0.0F, horizon, 0.5F * (1.0F + horizon), 1.0F};
        const float tan2 = eta * eta / (1.0F - eta * eta);
        const float total = std::sqrt(alpha2 / (tan2 + alpha2));
        return {0.0F, std::min(horizon, total), std::max(horizon, total), 1.0F};
    }

    GaussLegendre<Rings / 3> nodes_;
    float cos_[Phi], sin_[Phi];
};

/// G2/G1(o) of the mirrored ray for each facet; 0 where it goes below the surface.
template <int Phi>
void reflectedWeights(const Ggx& g, glm::vec3 wo, const FacetRing<Phi>& h, float* weight) {
    const float so = smithLength(g, wo);
    for (int i = 0; i < Phi; ++i) {
        const float c = 2.0F * h.cosO[i];
        const glm::vec3 wi(c * h.x[i] - wo.x, c * h.y[i] - wo.y, c * h.z[i] - wo.z);
        const float shadowed = so * std::abs(wi.z) + smithLength(g, wi) * wo.z;
        const float w = wi.z * (wo.z + so) / std::max(shadowed, 1e-30F);
        weight[i] = std::max(w, 0.0F);
    }
}

/// Dielectric Fresnel reflectance of each facet; the formula of fresnel.cpp without branches.
template <int Phi>
void fresnelWeights(const FacetRing<Phi>& h, float eta, float* reflectance) {
    const float inverse = 1.0F / eta;
    for (int i = 0; i < Phi; ++i) {
        const float c = h.cosO[i];
        const float cosT2 = 1.0F - (1.0F - c * c) * inverse * inverse;
        const float cosT = std::sqrt(std::max(cosT2, 0.0F));
        const float s = (c - eta * cosT) / std::max(c + eta * cosT, 1e-30F);
        const float p = (eta * c - cosT) / std::max(eta * c + cosT, 1e-30F);
        reflectance[i] = cosT2 > 0.0F ? 0.5F * (s * s + p * p) : 1.0F;
    }
}

/// G1 of the refracted ray; 0 where it does not reach the other side.
template <int Phi>
void refractedWeights(const Ggx& g, glm::vec3 wo, const FacetRing<Phi>& h, float eta,
                      float* weight) {
    const float inverse = 1.0F / eta;
    for (int i = 0; i < Phi; ++i) {
        const float c = h.cosO[i];
        const float cosT2 = 1.0F - (1.0F - c * c) * inverse * inverse;
        const float along = c * inverse - std::sqrt(std::max(cosT2, 0.0F));
        const glm::vec3 wi(along * h.x[i] - wo.x * inverse, along * h.y[i] - wo.y * inverse,
                           wo.z * inverse - along * h.z[i]);  // z turned to the lit side
        const float shadowed = std::abs(wi.z) + smithLength(g, wi);
        weight[i] = std::max(2.0F * wi.z / std::max(shadowed, 1e-30F), 0.0F);
    }
}

template <int Phi>
float meanOf(const float* a) {
    float sum = 0.0F;
    for (int i = 0; i < Phi; ++i) sum += a[i];
    return sum / static_cast<float>(Phi);
}

template <int Phi>
float meanOfProduct(const float* a, const float* b) {
    float sum = 0.0F;
    for (int i = 0; i < Phi; ++i) sum += a[i] * b[i];
    return sum / static_cast<float>(Phi);
}

}  // namespace keyfall
