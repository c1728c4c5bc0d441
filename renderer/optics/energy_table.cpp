// The albedo tables: grids, filling and lookup. Not here: the integrals (energy_quadrature.h).
//
// Axes are chosen so that straight lines fit between few nodes: angles and widths as in
// energy_axis.h, and (eta-1)/(eta+1), whose square is the reflectance at normal incidence.
#include "renderer/optics/energy_table.h"

#include <memory>

#include "renderer/optics/energy_axis.h"
#include "renderer/optics/energy_quadrature.h"
#include "renderer/optics/fresnel.h"

namespace keyfall {
namespace {

/// Values over (refractive index or none, alpha, t), and the cosine means of what is looked up,
/// on a grid kFiner times as fine because a mean is not straight between the nodes of its table.
template <int Etas, int Roughs, int Mus>
struct Table {
    static constexpr int kFiner = 3;
    static constexpr int kMeanEtas = Etas > 1 ? kFiner*(Etas - 1) + 1 : 2;
    static constexpr int kMeanRoughs = kFiner * (Roughs - 1) + 1;
    float value[Etas][Roughs][Mus];
    float means[kMeanEtas][kMeanRoughs];

    float at(int e, Place r, Place m) const {
        const float* low = value[e][r.cell] + m.cell;
        const float* high = value[e][r.cell + 1] + m.cell;
        return between(between(low[0], low[1], m.fraction), between(high[0], high[1], m.fraction),
                       r.fraction);
    }

    float at(float axis, float alpha, float mu) const {
        const Place r = place<Roughs>(widthAxis(alpha));
        const Place m = place<Mus>(angleAxis(mu, std::max(alpha, kLeastAlpha)));
        if constexpr (Etas == 1) return at(0, r, m);
        const Place e = place<Etas>(axis);
        return between(at(e.cell, r, m), at(e.cell + 1, r, m), e.fraction);
    }

    float mean(float axis, float alpha) const {
        const Place e = place<kMeanEtas>(axis);
        const Place r = place<kMeanRoughs>(widthAxis(alpha));
        const auto row = [&](const float* m) {
            return between(m[r.cell], m[r.cell + 1], r.fraction);
        };
        return between(row(means[e.cell]), row(means[e.cell + 1]), e.fraction);
    }

    /// 2 int E mu dmu, Gauss on each cell of t; `albedo(axis, alpha, mu)`.
    template <class F>
    void fillMeans(F&& albedo) {
        constexpr int kPoints = 3 * (Mus - 1);
        const GaussLegendre<3> gauss;
        for (int r = 0; r < kMeanRoughs; ++r) {
            const float alpha = alphaOfWidthAxis(node(r, kMeanRoughs));
            float mu[kPoints], area[kPoints];
            for (int i = 0; i < kPoints; ++i) {
                const auto k = static_cast<std::size_t>(i % 3);
                mu[i] = muOfAngleAxis((static_cast<float>(i / 3) + gauss.x[k]) / (Mus - 1), alpha);
                area[i] = 2.0F * gauss.w[k] * muPerAngleAxis(mu[i], alpha) / (Mus - 1);
            }
            for (int e = 0; e < kMeanEtas; ++e) {
                float sum = 0.0F;
                for (int i = 0; i < kPoints; ++i) {
                    sum += area[i] * albedo(node(e, kMeanEtas), alpha, mu[i]);
                }
                means[e][r] = sum;
            }
        }
    }
};

glm::vec3 viewAt(float t, float alpha) {
    const float mu = muOfAngleAxis(t, alpha);
    return {std::sqrt(std::max(1.0F - mu * mu, 0.0F)), 0.0F, mu};
}

Ggx widthOf(float t) {
    return {alphaOfWidthAxis(t), alphaOfWidthAxis(t)};
}

constexpr int kPhi = 16;
constexpr int kRings = 30;
using HalfFacets = VisibleFacets<kPhi, kRings>;

// ---- conductor-like, F = 1 ----

constexpr int kRough = 40;
constexpr int kMu = 40;
using MirrorTable = Table<1, kRough, kMu>;

std::unique_ptr<const MirrorTable> fillMirror() {
    auto table = std::make_unique<MirrorTable>();
    const HalfFacets facets(std::numbers::pi_v<float>);
    for (int r = 0; r < kRough; ++r) {
        const Ggx g = widthOf(node(r, kRough));
        for (int m = 0; m < kMu; ++m) {
            const glm::vec3 wo = viewAt(node(m, kMu), g.ax);
            float sum = 0.0F;
            facets.visit(g, wo, [&](const FacetRing<kPhi>& ring, float weight) {
                float w[kPhi];
                reflectedWeights(g, wo, ring, w);
                sum += weight * meanOf<kPhi>(w);
            });
            table->value[0][r][m] = std::min(sum, 1.0F);  // to the last digit
        }
    }
    table->fillMeans([&](float axis, float alpha, float mu) { return table->at(axis, alpha, mu); });
    return table;
}

const MirrorTable& mirrorTable() {
    static const std::unique_ptr<const MirrorTable> table = fillMirror();
    return *table;
}

// ---- dielectrics ----

constexpr float kLargestIndex = 3.0F;
constexpr float kLargestAxis = (kLargestIndex - 1.0F) / (kLargestIndex + 1.0F);
float indexAxis(float eta) {
    return (eta - 1.0F) / (eta + 1.0F);
}
float indexOf(float axis) {
    return (1.0F + axis) / (1.0F - axis);
}

constexpr int kCoatIndices = 12;
constexpr int kCoatRough = 28;
/// Holds E over the reflectance of the smooth surface, which is far straighter than E.
using CoatTable = Table<kCoatIndices, kCoatRough, kMu>;

/// Index-matched surfaces reflect nothing: the first node stands just beside.
float coatIndex(int e) {
    return std::max(indexOf(kLargestAxis * node(e, kCoatIndices)), 1.001F);
}

std::unique_ptr<const CoatTable> fillCoat() {
    auto table = std::make_unique<CoatTable>();
    const HalfFacets facets(std::numbers::pi_v<float>);
    for (int r = 0; r < kCoatRough; ++r) {
        const Ggx g = widthOf(node(r, kCoatRough));
        for (int m = 0; m < kMu; ++m) {
            const glm::vec3 wo = viewAt(node(m, kMu), g.ax);
            float sum[kCoatIndices] = {};
            facets.visit(g, wo, [&](const FacetRing<kPhi>& ring, float weight) {
                float w[kPhi], f[kPhi];
                reflectedWeights(g, wo, ring, w);
                for (int e = 0; e < kCoatIndices; ++e) {
                    fresnelWeights(ring, coatIndex(e), f);
                    sum[e] += weight * meanOfProduct<kPhi>(w, f);
                }
            });
            for (int e = 0; e < kCoatIndices; ++e) {
                table->value[e][r][m] = sum[e] / fresnelDielectric(wo.z, coatIndex(e));
            }
        }
    }
    table->fillMeans([&](float axis, float alpha, float mu) {
        return table->at(axis, alpha, mu) * fresnelDielectric(mu, indexOf(kLargestAxis * axis));
    });
    return table;
}

const CoatTable& coatTable() {
    static const std::unique_ptr<const CoatTable> table = fillCoat();
    return *table;
}

constexpr int kBoundaryIndices = 17;  // odd: eta = 1 is a node
constexpr int kBoundaryRough = 20;
constexpr int kBoundaryMu = 32;
float boundaryIndex(int e) {
    const float axis = 2.0F * node(e, kBoundaryIndices) - 1.0F;
    return indexOf(kLargestAxis * axis * std::abs(axis));
}

using BoundaryTable = Table<kBoundaryIndices, kBoundaryRough, kBoundaryMu>;

std::unique_ptr<const BoundaryTable> fillBoundary() {
    auto table = std::make_unique<BoundaryTable>();
    const HalfFacets facets(std::numbers::pi_v<float>);
    for (int r = 0; r < kBoundaryRough; ++r) {
        const Ggx g = widthOf(node(r, kBoundaryRough));
        for (int m = 0; m < kBoundaryMu; ++m) {
            const glm::vec3 wo = viewAt(node(m, kBoundaryMu), g.ax);
            float sum[kBoundaryIndices] = {};
            facets.visit(g, wo, [&](const FacetRing<kPhi>& ring, float weight) {
                float w[kPhi], f[kPhi], g1[kPhi];
                reflectedWeights(g, wo, ring, w);
                for (int e = 0; e < kBoundaryIndices; ++e) {
                    fresnelWeights(ring, boundaryIndex(e), f);
                    refractedWeights(g, wo, ring, boundaryIndex(e), g1);
                    for (int i = 0; i < kPhi; ++i) g1[i] += f[i] * (w[i] - g1[i]);
                    sum[e] += weight * meanOf<kPhi>(g1);
                }
            });
            for (int e = 0; e < kBoundaryIndices; ++e) {
                table->value[e][r][m] = std::min(sum[e], 1.0F);  // to the last digit
            }
        }
    }
    table->fillMeans([&](float axis, float alpha, float mu) { return table->at(axis, alpha, mu); });
    return table;
}

const BoundaryTable& boundaryTable() {
    static const std::unique_ptr<const BoundaryTable> table = fillBoundary();
    return *table;
}

/// Nodes crowd around eta = 1, where total reflection sets in on one side.
float boundaryAxis(float eta) {
    const float x = indexAxis(eta) / kLargestAxis;
    return 0.5F + 0.5F * std::copysign(std::sqrt(std::min(std::abs(x), 1.0F)), x);
}

}  // namespace

float ggxAlbedo(float alpha, float mu) {
    return mirrorTable().at(0.0F, alpha, mu);
}

float ggxAlbedoMean(float alpha) {
    return mirrorTable().mean(0.0F, alpha);
}

float coatAlbedo(float ior, float alpha, float mu) {
    return coatTable().at(indexAxis(ior) / kLargestAxis, alpha, mu) * fresnelDielectric(mu, ior);
}

float coatAlbedoMean(float ior, float alpha) {
    return coatTable().mean(indexAxis(ior) / kLargestAxis, alpha);
}

float boundaryAlbedo(float eta, float alpha, float mu) {
    return boundaryTable().at(boundaryAxis(eta), alpha, mu);
}

float boundaryAlbedoMean(float eta, float alpha) {
    return boundaryTable().mean(boundaryAxis(eta), alpha);
}

}  // namespace keyfall
